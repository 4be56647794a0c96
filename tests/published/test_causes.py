"""CAU-01: the shipped rulebook's causes go back to each cause of the handbook's catalogue."""

from __future__ import annotations

import re
from typing import Final

import pytest

from advisor.rulebook import load, shipped
from tests.published.values import Computations, assert_reproduced

_ID: Final = re.compile(r"\bC\d\d\b")
_SPAN: Final = re.compile(r"\bC(\d\d) to C(\d\d)\b")


def ids_in(source: str) -> set[str]:
    """The catalogue's ids that a source names, one by one or as "C03 to C05"."""
    spans = [range(int(first), int(last) + 1) for first, last in _SPAN.findall(source)]
    return {*_ID.findall(source), *(f"C{number:02}" for span in spans for number in span)}


def _named_by_the_shipped_rulebook() -> int:
    causes = load(shipped()).causes.values()
    named = set().union(*(ids_in(cause.source) for cause in causes))
    assert named <= {f"C{number:02}" for number in range(1, 67)}
    return len(named)


COMPUTATIONS: Final[Computations] = {"CAU-01": lambda _: _named_by_the_shipped_rulebook()}


@pytest.mark.parametrize("name", COMPUTATIONS)
def test_published_value_is_reproduced(name: str) -> None:
    """Handbook section 16 (D): 66 causes, ids distinct."""
    assert_reproduced(name, COMPUTATIONS)


def test_ids_are_read_from_a_source_as_people_write_them() -> None:
    assert ids_in("handbook section 16, C07") == {"C07"}
    assert ids_in("handbook sections 7 and 16, C01, C12 and C40") == {"C01", "C12", "C40"}
    assert ids_in("handbook section 16, C03 to C05") == {"C03", "C04", "C05"}
    assert ids_in("CAU-01, ISO 21940-11, EC12") == set()
