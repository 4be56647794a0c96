"""Whatever is typed, the answer is a result or a complaint that a person can mend."""

from __future__ import annotations

import json

from hypothesis import given
from hypothesis import strategies as st

from advisor import units
from advisor.computing import ComputeError
from advisor.driveline.catalog import FUNCTIONS, Function, Parameter
from tests.computing.asking import ask

USUAL = ("0", "1", "2.5", "8", "0.3", "20", "3 1/2")
ODD = ("-1", "1e-90", "1e90", "-1e9", "nan", "", "∞")
TEXTS = ("265/70R17", "x", "yes", "no", "steel", "\x07", "")


@st.composite
def _amounts(draw: st.DrawFn, parameter: Parameter) -> str:
    if parameter.dimension in ("text", "yes-no", "choice"):
        return draw(st.sampled_from((*TEXTS, *parameter.options)))
    unit = draw(st.sampled_from(units.units_of(parameter.dimension))).symbol
    numbers = draw(st.sampled_from((USUAL, USUAL, USUAL, ODD)))
    amount = f"{draw(st.sampled_from(numbers))} {unit}"
    u = draw(st.sampled_from(("", "", f" +/- 1 {unit}", f" +/- 1e60 {unit}")))
    return amount + u


def _mends_or_answers(function: Function, words: list[str], sweep: str | None) -> None:
    try:
        answer = ask(function.name, *words, sweep=sweep)
    except ComputeError as error:
        problems = error.problems
    else:
        problems = ("",)
        assert json.dumps(answer.as_data(), allow_nan=False)
        assert function.source in answer.as_text(40)
    assert problems
    assert all(problem.isprintable() for problem in problems)


@given(st.data())
def test_one_result_or_a_complaint(data: st.DataObject) -> None:
    function = data.draw(st.sampled_from(list(FUNCTIONS.values())))
    words = [f"{one.name}={data.draw(_amounts(one))}" for one in function.parameters]
    _mends_or_answers(function, words, None)


@given(st.data())
def test_a_sweep_or_a_complaint(data: st.DataObject) -> None:
    function = data.draw(st.sampled_from(list(FUNCTIONS.values())))
    swept, *others = function.parameters
    words = [f"{one.name}={data.draw(_amounts(one))}" for one in others]
    stretch = f"{data.draw(_amounts(swept))}..{data.draw(_amounts(swept))}/3"
    _mends_or_answers(function, words, f"{swept.name}={stretch}")
