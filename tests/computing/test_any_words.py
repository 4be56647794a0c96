"""Whatever is typed to `orders` and `trial-weights`, the answer is a result or a complaint."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor import units
from advisor.computing import ComputeError, orders_answer, trial_weights_answer
from advisor.computing.forms import TEXT, Field, Form
from advisor.computing.orders import FORM as ORDERS
from advisor.computing.trialweights import FORM as TRIAL_WEIGHTS

NUMBERS = ("1", "2.5", "30", "0.7", "3.73", "1", "30")
ODD = ("0", "-1", "1e-90", "1e90", "1e98", "nan", "")
TEXTS = {
    "tyre_size": ("265/70R17", "31x10.50R15", "9/9R9"),
    "initial": ("4", "4 mm/s", "0", "1e90", "1e-90", "x", ""),
    "u": ("0.1", "1e-9", "1e90", "0.1 mm/s", "-1"),
    "at": (
        "0 deg: 5.2, 120 deg: 3.1, 240 deg: 6.6",
        "0 deg: 4, 120 deg: 4, 240 deg: 4.2",
        "0 deg: 0, 90 deg: 8, 180 deg: 4, 270 deg: 4",
        "0 deg: 1e90, 120 deg: 1e-90, 240 deg: 1e98",
        "0 deg: 5, 360 deg: 3, 240 deg: 6",
        "0: 5",
        "\x1b[31m",
    ),
}


@st.composite
def _words(draw: st.DrawFn, form: Form) -> list[str]:
    words = []
    for field in form.fields:
        if not draw(st.integers(0, 19)) or (field.optional and draw(st.booleans())):
            continue
        words.append(f"{field.name}={draw(_value(field))}")
    return words


@st.composite
def _value(draw: st.DrawFn, field: Field) -> str:
    if field.dimension == TEXT:
        return draw(st.sampled_from(TEXTS[field.name]))
    if field.dimension == "count":
        return draw(st.sampled_from(("1", "4", "8", "0", "2.5")))
    numbers = draw(st.sampled_from((NUMBERS,) * 9 + (ODD,)))
    unit = draw(st.sampled_from(units.units_of(field.dimension))).symbol.replace("1", "")
    return f"{draw(st.sampled_from(numbers))} {unit}"


@pytest.mark.parametrize(
    ("form", "answer"),
    [(ORDERS, orders_answer), (TRIAL_WEIGHTS, trial_weights_answer)],
    ids=["orders", "trial-weights"],
)
@given(data=st.data())
@settings(deadline=None)
def test_a_result_or_a_complaint(
    form: Form, answer: Callable[[Sequence[str]], Any], data: st.DataObject
) -> None:
    words = data.draw(_words(form))
    problems: tuple[str, ...] = ("said",)
    try:
        found = answer(words)
    except ComputeError as error:
        problems = error.problems
    else:
        assert json.dumps(found.as_data(), allow_nan=False)
        assert form.source in found.as_text(40)
    assert problems
    assert all(problem.isprintable() for problem in problems)
