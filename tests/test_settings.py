"""The user's settings: where they are found, what they change, and what is told of a mistake."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest

from advisor.cli import main
from advisor.engine.values import Number
from advisor.rulebook import LoadError, Rulebook, load
from advisor.settings import (
    VARIABLE,
    Settings,
    SettingsModel,
    find_settings,
    read_settings,
    usual_path,
)
from advisor.settingstext import USUAL
from tests.helpers_rulebook import small_rulebook

STOCK = "format: 1\nrings:\n  a: {thickness: 1.5 mm, uncertainty: 0.002 mm, count: 4}\n"


def written(path: Path, text: str) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path


def stock_name(settings: Settings) -> str | None:
    return settings.stock.name if settings.stock else None


def u_of_span(rulebook: Rulebook) -> float:
    value = rulebook.parse_answer("yoke-span", "80 mm")
    assert isinstance(value, Number)
    return value.u


# -- where they are --


def test_without_a_file_in_the_usual_place_nothing_is_set(tmp_path: Path) -> None:
    assert find_settings(None, {"XDG_CONFIG_HOME": str(tmp_path)}) == Settings()


def test_the_option_goes_before_the_environment_and_that_before_the_usual_place(
    tmp_path: Path,
) -> None:
    environ = {"XDG_CONFIG_HOME": str(tmp_path)}
    written(tmp_path / "driveline-advisor" / "settings.yaml", "format: 1\nstock: usual.yaml\n")
    assert stock_name(find_settings(None, environ)) == "usual.yaml"
    environ[VARIABLE] = str(written(tmp_path / "b.yaml", "format: 1\nstock: variable.yaml\n"))
    assert stock_name(find_settings(None, environ)) == "variable.yaml"
    given = written(tmp_path / "c.yaml", "format: 1\nstock: option.yaml\n")
    assert stock_name(find_settings(given, environ)) == "option.yaml"


@pytest.mark.parametrize("by", ["option", "environment"])
def test_file_that_was_named_must_be_there(tmp_path: Path, by: str) -> None:
    absent = tmp_path / "absent.yaml"
    with pytest.raises(LoadError) as caught:
        find_settings(absent if by == "option" else None, {VARIABLE: str(absent)})
    assert [one.code for one in caught.value.problems] == ["unreadable-file"]


def test_relative_config_folder_is_ignored(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """XDG Base Directory Specification 0.8, "All paths ... must be absolute"."""
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("USERPROFILE", str(tmp_path))
    expected = tmp_path / ".config" / "driveline-advisor" / "settings.yaml"
    assert usual_path({"XDG_CONFIG_HOME": "config"}) == expected
    assert usual_path({}) == expected


def test_user_without_a_home_has_no_usual_place(monkeypatch: pytest.MonkeyPatch) -> None:
    def no_home() -> Path:
        raise RuntimeError

    monkeypatch.setattr(Path, "home", no_home)
    assert usual_path({}) is None
    assert find_settings(None, {}) == Settings()


# -- gauges --


def test_answers_carry_the_uncertainty_of_the_users_gauge(tmp_path: Path) -> None:
    """u = sqrt(step^2 / 12 + limit^2 / 3), JCGM 100 (handbook section 12, M; abs 1e-9 mm)."""
    text = "format: 1\ngauges: {caliper: {step: 0.02 mm, limit: 0.03 mm}}\n"
    settings = read_settings(written(tmp_path / "s.yaml", text))
    u_mm = 1e3 * u_of_span(load(small_rulebook(tmp_path), own=settings.own))
    assert u_mm == pytest.approx(math.sqrt(0.02**2 / 12 + 0.03**2 / 3), abs=1e-9)


def test_what_the_user_leaves_out_stays_as_the_rulebook_has_it(tmp_path: Path) -> None:
    text = "format: 1\ngauges: {caliper: {limit: 2 thou}}\n"
    settings = read_settings(written(tmp_path / "s.yaml", text))
    rulebook = load(small_rulebook(tmp_path), own=settings.own)
    assert (rulebook.gauges["caliper"].step, rulebook.gauges["caliper"].limit) == (
        "0.01 mm",
        "2 thou",
    )
    assert rulebook.gauges["caliper"].source == "the user's settings"
    assert 1e3 * u_of_span(rulebook) == pytest.approx(
        math.sqrt(0.01**2 / 12 + 0.0508**2 / 3), abs=1e-9
    )
    assert u_of_span(load(small_rulebook(tmp_path))) < u_of_span(rulebook)


@pytest.mark.parametrize(
    ("change", "place", "code", "said"),
    [
        ("calliper: {limit: 0.03 mm}", (3, 3), "unknown-gauge", 'no gauge "calliper"'),
        ("caliper: {limit: 0.03}", (3, 20), "wrong-quantity", '"0.03" is no limit (0 or more)'),
        ("caliper: {step: 1 deg}", (3, 19), "wrong-quantity", "whose step is 0.01 mm"),
        ("caliper: {step: -1 mm}", (3, 19), "wrong-quantity", '"-1 mm" is no step'),
        ("caliper: {}", (3, 12), "missing-field", 'needs "step", "limit" or both'),
    ],
)
def test_change_that_fits_no_gauge_is_told_at_its_place(
    tmp_path: Path, change: str, place: tuple[int, int], code: str, said: str
) -> None:
    path = written(tmp_path / "s.yaml", f"format: 1\ngauges:\n  {change}\n")
    with pytest.raises(LoadError) as caught:
        load(small_rulebook(tmp_path), own=read_settings(path).own)
    (problem,) = caught.value.problems
    assert problem.path == path.as_posix()
    assert (problem.line, problem.column, problem.code) == (*place, code)
    assert said in problem.message


def test_unknown_gauge_is_told_with_the_nearest_one(tmp_path: Path) -> None:
    path = written(tmp_path / "s.yaml", "format: 1\ngauges: {calliper: {limit: 1 mm}}\n")
    with pytest.raises(LoadError, match='did you mean "caliper"'):
        load(small_rulebook(tmp_path), own=read_settings(path).own)


# -- the form of the file --


@pytest.mark.parametrize(
    ("text", "place", "code"),
    [
        ("format: 1\nstok: a.yaml\n", (2, 1), "unknown-field"),
        ("stock: a.yaml\n", (1, 1), "missing-field"),
        ("format: 2\n", (1, 9), "unknown-format"),
        ("- format: 1\n", (1, 1), "wrong-type"),
        ("format: 1\ngauges: caliper\n", (2, 9), "wrong-type"),
        ("format: 1\ngauges: {caliper: {limits: 1 mm}}\n", (2, 20), "unknown-field"),
        ("format: 1\nstock: on\n", (2, 8), "ambiguous-boolean"),
    ],
)
def test_mistake_of_form_is_told_at_its_place(
    tmp_path: Path, text: str, place: tuple[int, int], code: str
) -> None:
    with pytest.raises(LoadError) as caught:
        read_settings(written(tmp_path / "s.yaml", text))
    (problem,) = caught.value.problems
    assert (problem.line, problem.column, problem.code) == (*place, code)


def test_every_field_has_a_description() -> None:
    assert all(field.description for field in SettingsModel.model_fields.values())


# -- the stock that they name --


def test_stock_lies_where_the_settings_say_from_their_own_folder(tmp_path: Path) -> None:
    written(tmp_path / "shop" / "rings" / "all.yaml", STOCK)
    path = written(tmp_path / "shop" / "s.yaml", "format: 1\nstock: rings/all.yaml\n")
    stock = read_settings(path).read_stock(load(small_rulebook(tmp_path)))
    assert stock is not None
    assert [box.name for box in stock.boxes] == ["a"]


def test_stock_may_lie_in_the_home_of_the_user(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("USERPROFILE", str(tmp_path))
    path = written(tmp_path / "shop" / "s.yaml", "format: 1\nstock: ~/rings.yaml\n")
    assert read_settings(path).stock == tmp_path / "rings.yaml"


def test_library_lies_where_the_settings_say_from_their_own_folder(tmp_path: Path) -> None:
    path = written(tmp_path / "shop" / "s.yaml", "format: 1\nlibrary: ../cases\n")
    assert read_settings(path).library == tmp_path / "shop" / ".." / "cases"
    assert read_settings(written(tmp_path / "t.yaml", "format: 1\n")).library is None


def test_settings_without_a_stock_have_none(tmp_path: Path) -> None:
    assert Settings().read_stock(load(small_rulebook(tmp_path))) is None


def test_stock_that_is_not_there_is_told_with_the_line_that_names_it(tmp_path: Path) -> None:
    path = written(tmp_path / "s.yaml", "format: 1\nstock: absent.yaml\n")
    with pytest.raises(LoadError) as caught:
        read_settings(path).read_stock(load(small_rulebook(tmp_path)))
    (problem,) = caught.value.problems
    assert problem.path.endswith("absent.yaml")
    assert [(where.path, where.line) for where in problem.related] == [(path.as_posix(), 2)]


# -- what this shop has, takes and reads --


def told(tmp_path: Path, text: str) -> list[tuple[int, int, str]]:
    """Line, column and code of each problem that reading or loading finds."""
    path = written(tmp_path / "s.yaml", f"format: 1\n{text}")
    with pytest.raises(LoadError) as caught:
        _read_and_used(path, small_rulebook(tmp_path))
    return [(one.line, one.column, one.code) for one in caught.value.problems]


def _read_and_used(path: Path, folder: Path) -> None:
    settings = read_settings(path)
    settings.gauges_missing(load(folder, own=settings.own))


def loaded(tmp_path: Path, text: str) -> Rulebook:
    settings = read_settings(written(tmp_path / "s.yaml", f"format: 1\n{text}"))
    return load(small_rulebook(tmp_path), own=settings.own)


def test_own_minutes_take_the_place_of_the_rulebooks(tmp_path: Path) -> None:
    text = (
        "minutes: {places: {bench: 7}, tests: {measure-joint: 8.5, vibrates: 3}, escalation: 90}\n"
    )
    own, usual = loaded(tmp_path, text), load(small_rulebook(tmp_path))
    assert own.places["bench"].minutes == 7.0
    assert own.tests["measure-joint"].minutes == 8.5
    assert own.tests["vibrates"].minutes == 3.0
    assert own.rules.escalation_minutes == 90.0
    changed = {name for name, test in own.tests.items() if test != usual.tests[name]}
    assert changed == {"measure-joint", "vibrates"}
    assert own.rules.causes == usual.rules.causes


def test_numbers_nobody_typed_are_shown_in_the_users_units(tmp_path: Path) -> None:
    """1 in = 25.4 mm exactly, so 80 mm are 3.1496 in."""
    own, usual = loaded(tmp_path, "units: {length: inch}\n"), load(small_rulebook(tmp_path))
    span = usual.parse_answer("yoke-span", "80 mm")
    assert usual.show_value("yoke-span", span).split(" ")[1] == "mm"
    assert own.show_value("yoke-span", span).startswith("3.149")
    assert own.show_value("yoke-span", span).endswith(" in")
    assert own.parse_answer("yoke-span", "80 mm") == span
    shown = [fact.unit for fact in own.facts.values() if fact.unit is not None]
    assert {unit.symbol for unit in shown if unit.dimension == "length"} == {"in"}


def test_units_change_no_conclusion(tmp_path: Path) -> None:
    own, usual = loaded(tmp_path, "units: {length: thou}\n"), load(small_rulebook(tmp_path))
    assert own.rules.findings == usual.rules.findings
    assert own.rules.causes == usual.rules.causes


@pytest.mark.parametrize(
    ("text", "places"),
    [
        ("without: [calliper]\n", [(2, 11, "unknown-gauge")]),
        ("units: {lenght: in}\n", [(2, 9, "unknown-field")]),
        ("units: {speed: mm, length: xx}\n", [(2, 16, "unknown-unit"), (2, 28, "unknown-unit")]),
        ("minutes: {places: {shop: 3}}\n", [(2, 20, "unknown-place")]),
        ("minutes: {tests: {measure-joit: 3}}\n", [(2, 19, "unknown-test")]),
        ("minutes: {tests: {measure-joint: -3}}\n", [(2, 34, "wrong-value")]),
        ("minutes: {escalation: 0}\n", [(2, 23, "wrong-value")]),
        ("role: boss\n", [(2, 7, "wrong-value")]),
    ],
)
def test_setting_that_fits_nothing_is_told_at_its_place(
    tmp_path: Path, text: str, places: list[tuple[int, int, str]]
) -> None:
    assert told(tmp_path, text) == places


# -- by the verbs --


def test_role_and_gauges_hold_until_the_command_line_says_otherwise(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    book, case = small_rulebook(tmp_path), tmp_path / "car.yaml"
    case.write_text(
        "format: 1\nid: car\nrulebook: {id: small, version: 0.1.0}\nanswers: {vibrates: 'yes'}\n",
        encoding="utf-8",
    )
    text = "format: 1\nrole: service-advisor\n"
    words = ["rank", str(case), "--rulebook", str(book), "--json"]
    settings = ["--settings", str(written(tmp_path / "s.yaml", text))]

    def places(*more: str) -> set[str]:
        assert main([*words, *more]) == 0
        data = json.loads(capsys.readouterr().out)
        return {one["place"] for one in [data["next_test"], *data["other_tests"]] if one}

    assert places(*settings) < places()
    assert places(*settings, "--role", "technician") == places()
    settings[1] = str(written(tmp_path / "t.yaml", "format: 1\nwithout: [caliper]\n"))
    assert places(*settings) == places("--without", "caliper") < places()


def test_verb_shows_what_holds_and_where_it_comes_from(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    book = ["--rulebook", str(small_rulebook(tmp_path))]
    assert main(["settings", *book]) == 0
    out = capsys.readouterr().out
    assert out.startswith("there is no settings file; it would be")
    assert "- role: technician (usual)\n" in out
    path = written(tmp_path / "s.yaml", "format: 1\nunits:\n  length: in\nrole: trainer\n")
    assert main(["settings", *book, "--settings", str(path)]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert "- units length: in (line 3)" in lines
    assert "- role: trainer (line 4)" in lines
    path.write_text("format: 1\nminutes: {places: {shop: 3}}\n", encoding="utf-8")
    assert main(["settings", *book, "--settings", str(path)]) == 2
    assert "s.yaml:2:20: error[unknown-place]" in capsys.readouterr().err


def test_every_setting_is_shown() -> None:
    assert {"format", *USUAL} == SettingsModel.model_fields.keys()


def test_result_of_a_computation_is_in_the_users_unit_unless_an_input_says_otherwise(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = "format: 1\nunits: {length: ft}\n"
    settings = ["--settings", str(written(tmp_path / "s.yaml", text))]
    words = ["compute", "ring-stack-end-play", "span=80 mm", "width=76 mm", "ring_1=1.9 mm"]
    assert main([*words, "ring_2=1.9 mm", "--json", *settings]) == 0
    assert json.loads(capsys.readouterr().out)["unit"] == "mm"
    tyre = ["compute", "tyre-diameter", "size=265/70R17", "--json"]
    assert main([*tyre, *settings]) == 0
    assert json.loads(capsys.readouterr().out)["unit"] == "ft"
