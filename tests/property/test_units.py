"""Units go there and back, whatever is typed."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.units import (
    DIMENSIONS,
    UNITS,
    Quantity,
    Unit,
    UnitError,
    parse,
    show,
    unit_named,
    units_of,
)

# A busy machine is no fault of what is tested.
patient = settings(deadline=None)

# Shown and typed as the number alone.
WITHOUT_SYMBOL = ("1", "count")

any_unit = st.sampled_from(UNITS)
measured_unit = any_unit.filter(lambda unit: unit.symbol not in WITHOUT_SYMBOL)
ordinary = st.floats(min_value=1e-5, max_value=1e8)
signed = st.one_of(st.just(0.0), ordinary, ordinary.map(lambda x: -x))

digits = st.text("0123456789", min_size=1, max_size=6)
decimal_numbers = st.builds(
    lambda sign, whole, point, rest, power: f"{sign}{whole}{point}{rest}{power}",
    st.sampled_from(["", "-", "−", "+", "- "]),
    digits,
    st.sampled_from([".", ","]),
    digits.filter(lambda text: len(text) != 3),
    st.sampled_from(["", "e3", "E-4", "e+02"]),
)
fractions = st.builds(
    lambda sign, whole, top, bottom: f"{sign}{whole}{top}/{bottom}",
    st.sampled_from(["", "-"]),
    st.sampled_from(["", "1 ", "12 ", "3-"]),
    st.integers(0, 99),
    st.integers(1, 99),
)
typed_numbers = st.one_of(decimal_numbers, fractions)
gaps = st.sampled_from(["", " ", "  ", "\t", "\u00a0"])
odd_text = st.one_of(
    st.text(max_size=100),
    st.text("0123456789.,/-+eE °'\"mindegthouµ%±\x00", max_size=20),
    st.builds(lambda number, tail: number + tail, typed_numbers, st.text(max_size=8)),
)


@patient
@given(signed, measured_unit)
def test_unit_goes_there_and_back(number: float, unit: Unit) -> None:
    si = parse(f"{number!r} {unit.symbol}", unit.dimension).si
    assert si / unit.factor == pytest.approx(number, rel=1e-14, abs=0.0)


@patient
@given(signed, measured_unit, st.data())
def test_conversion_through_another_unit_gives_the_same_value(
    number: float, unit: Unit, data: st.DataObject
) -> None:
    others = [u for u in units_of(unit.dimension) if u.symbol not in WITHOUT_SYMBOL]
    other = data.draw(st.sampled_from(others))
    si = parse(f"{number!r} {unit.symbol}", unit.dimension).si
    again = parse(f"{si / other.factor!r} {other.symbol}", unit.dimension).si
    assert again == pytest.approx(si, rel=1e-14, abs=0.0)


@patient
@given(typed_numbers, gaps, measured_unit)
def test_quantity_written_and_read_is_the_same(number: str, gap: str, unit: Unit) -> None:
    quantity = parse(f"{number}{gap}{unit.symbol}", unit.dimension)
    assert quantity.unit == unit
    assert parse(str(quantity), unit.dimension) == quantity


@patient
@given(typed_numbers, measured_unit)
def test_minus_sign_only_turns_the_value_round(number: str, unit: Unit) -> None:
    bare = number.lstrip("-−+ ")
    plus = parse(f"{bare} {unit.symbol}", unit.dimension).si
    assert parse(f"-{bare} {unit.symbol}", unit.dimension).si == -plus


@patient
@given(signed, any_unit)
def test_shown_value_is_read_back_within_its_rounding(number: float, unit: Unit) -> None:
    si = number * unit.factor
    text = show(si, unit)
    if unit.dimension == "count":
        assert float(text) == pytest.approx(number, rel=5.001e-4)
    else:
        # Half a unit of the fourth digit is at most 5e-4 of the value.
        assert parse(text, unit.dimension).si == pytest.approx(si, rel=5.001e-4, abs=0.0)


@patient
@given(signed, st.floats(min_value=1e-4, max_value=1e6), measured_unit)
def test_shown_value_and_uncertainty_are_within_rounding_of_the_true_ones(
    number: float, u: float, unit: Unit
) -> None:
    value_text, *rest = show(number * unit.factor, unit, u * unit.factor).split(" +/- ")
    value = parse(value_text, unit.dimension).si / unit.factor
    if not rest:
        assert u <= 1.001e-9 * abs(number)
        return
    shown_u = parse(rest[0], unit.dimension).si / unit.factor
    assert shown_u == pytest.approx(u, rel=0.0501, abs=0.0)
    # One digit is left only when the second is 0, so half a step is at most 0.53 of u.
    assert abs(value - number) <= 0.53 * u + 1e-9 * abs(number)
    decimals = [len(t.split()[0].partition(".")[2]) for t in (value_text, rest[0])]
    assert decimals[0] == decimals[1]
    assert len(rest[0].split()[0].replace(".", "").strip("0")) <= 2


@patient
@given(signed, st.one_of(st.just(0.0), st.floats(min_value=0.0, max_value=1e9)), any_unit)
def test_zero_is_never_shown_with_a_minus_sign(number: float, u: float, unit: Unit) -> None:
    text = show(number * unit.factor, unit, u * unit.factor)
    assert not re.match(r"-0(\.0*)?( |$)", text)
    assert text.isascii()


def read(text: str, dimension: str) -> Quantity | UnitError:
    try:
        return parse(text, dimension)
    except UnitError as error:
        return error


@patient
@given(odd_text, st.sampled_from(DIMENSIONS))
def test_any_text_is_a_finite_value_or_a_fault_with_its_place(text: str, dimension: str) -> None:
    result = read(text, dimension)
    if isinstance(result, UnitError):
        assert result.text == text
        assert 0 <= result.position <= len(text)
        assert result.reason.isprintable()
        assert len(result.reason) < 300
    else:
        assert abs(result.si) < 1e120
        assert result.unit.dimension == dimension
        assert parse(str(result), dimension) == result


@patient
@given(st.text(max_size=60))
def test_any_name_that_is_no_unit_is_refused_in_a_printable_sentence(name: str) -> None:
    with pytest.raises(UnitError) as caught:
        unit_named(f"{name}?")
    assert caught.value.reason.isprintable()


@patient
@given(measured_unit, st.data())
def test_capitals_do_not_change_what_is_read(unit: Unit, data: st.DataObject) -> None:
    """Save for the two that SI gives a meaning of their own: mPa and Mm."""
    capitals = data.draw(st.lists(st.booleans(), min_size=9, max_size=9))
    name = "".join(
        c.upper() if up else c.lower() for c, up in zip(unit.symbol, capitals, strict=False)
    )
    if name not in ("mPa", "Mm"):
        assert parse(f"5 {name}", unit.dimension) == parse(f"5 {unit.symbol}", unit.dimension)
