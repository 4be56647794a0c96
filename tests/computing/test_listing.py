"""What can be computed, and what one computation needs."""

from __future__ import annotations

from advisor import units
from advisor.computing.groups import GROUPS, MEANINGS
from advisor.computing.inputs import is_number
from advisor.computing.ranges import usual_range
from advisor.computing.resultunits import result_unit
from advisor.driveline.catalog import FUNCTIONS
from tests.computing.asking import ask, data_of, text_of


def test_every_computation_stands_in_exactly_one_group() -> None:
    names = [name for group in GROUPS.values() for name in group]
    assert sorted(names) == sorted(FUNCTIONS)


def test_list_has_a_line_for_each_computation() -> None:
    lines = text_of(None).split("\n")
    for name, meaning in MEANINGS.items():
        assert f"- {name}: {meaning}" in lines
    assert [one["name"] for one in ask().as_data()["computations"]] == list(MEANINGS)


def test_list_lines_fit_a_window_of_80_columns() -> None:
    assert max(map(len, text_of(None).split("\n"))) <= 80


def test_description_tells_parameters_units_options_formula_and_source() -> None:
    assert text_of("longest-tube") == (
        "longest-tube: longest tube for a top speed\n"
        "formula: the critical speed, times the derating, solved for the length\n"
        "\n"
        "needs\n"
        "- top_frequency: top speed of the shaft (a frequency)\n"
        "- outside_diameter: outside diameter of the tube (a length; usually 30 mm to 200 mm)\n"
        "- wall: wall thickness of the tube (a length; usually 0.5 mm to 10 mm)\n"
        '- material: material of the tube (one of "steel" or "aluminium")\n'
        "\n"
        "may be given\n"
        "- derating: share of the critical speed; 0.7 if not given (a ratio)\n"
        "\n"
        "gives a length\n"
        "\n"
        "units\n"
        "- a frequency: Hz or rpm\n"
        "- a length: mm, in, thou, um, cm, m, ft, km or mi\n"
        "- a ratio: none or %\n"
        "\n"
        'standard uncertainty of an input: top_frequency="... Hz +/- ... Hz", or --gauge '
        "top_frequency=GAUGE with a gauge of the rulebook; with neither it is taken as exact\n"
        "\n"
        "source: Euler-Bernoulli; handbook section 5, CS-10 (D; R for the derating)\n"
        'usage: advisor compute longest-tube top_frequency="FREQUENCY" outside_diameter="LENGTH" '
        'wall="LENGTH" material="CHOICE" [derating="RATIO"]'
    )


def test_description_of_words_only_has_no_units_and_no_uncertainty() -> None:
    text = text_of("tyre-diameter")
    assert "units" not in text
    assert "uncertainty" not in text
    assert "- size: size on the side wall, like 265/70R17 or 31x10.50R15 (text)\n" in text


def test_description_as_data_names_units_and_usual_range() -> None:
    data = data_of("critical-speed")
    wall = next(one for one in data["parameters"] if one["name"] == "wall")
    assert wall["usual"] == ["0.5 mm", "10 mm"]
    assert wall["units"][:2] == ["mm", "in"]
    assert data["parameters"][-1]["options"] == ["steel", "aluminium"]
    assert (data["result"], data["meaning"]) == ("frequency", MEANINGS["critical-speed"])


def test_usual_ranges_are_of_the_parameter_and_the_right_way_round() -> None:
    ranges = 0
    for function in FUNCTIONS.values():
        for parameter in function.parameters:
            usual = usual_range(function, parameter)
            if usual is None:
                continue
            assert is_number(parameter)
            low, high = (units.parse(end, parameter.dimension) for end in usual)
            assert low.si < high.si
            assert low.unit == high.unit
            ranges += 1
    assert ranges > 50


def test_every_numeric_result_has_a_unit_whatever_was_typed() -> None:
    for function in FUNCTIONS.values():
        unit = result_unit(function, ())
        if function.result in ("choice", "yes-no"):
            assert unit is None
        else:
            assert unit is not None
            assert unit.dimension == function.result
