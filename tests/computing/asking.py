"""Commands as a person types them, run in process."""

from __future__ import annotations

from functools import cache
from typing import Any

from advisor.computing import Answer, Request, answer
from advisor.layout import wrap
from advisor.rulebook import Rulebook, load, shipped


@cache
def rulebook() -> Rulebook:
    """The shipped rulebook, for its gauges."""
    return load(shipped())


def ask(
    name: str | None = None,
    *inputs: str,
    gauges: tuple[str, ...] = (),
    limit: str | None = None,
    sweep: str | None = None,
) -> Answer:
    """What `advisor compute` answers to these words."""
    return answer(Request(name, inputs, gauges, limit, sweep), rulebook)


def data_of(name: str, *inputs: str, **options: Any) -> dict[str, Any]:
    """The same as data."""
    data = ask(name, *inputs, **options).as_data()
    assert isinstance(data, dict)
    return data


def text_of(name: str | None, *inputs: str, **options: Any) -> str:
    """The same for a person: a chart of 80 columns, the rest unwrapped."""
    return wrap(ask(name, *inputs, **options).as_text(80), 1000)


STACK = ("span=80.00 mm", "width=76.95 mm", "ring_1=1.50 mm", "ring_2=1.52 mm")
"""A cross in its fork with 0.03 mm of end play; handbook section 8, EP-01 (P)."""

FOUR_CALIPER_READINGS = tuple(f"{name}=caliper" for name in ("span", "width", "ring_1", "ring_2"))
