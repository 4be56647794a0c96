"""Whatever stands where in a rulebook: it loads, or every problem has its place."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from advisor.rulebook import LoadError, load, parse_yaml
from tests.helpers_rulebook import FILES, small_rulebook

DATA = {name: parse_yaml(text, name).data for name, text in FILES.items()}
WORDS = ["vibrates", "ring-1", "end-play", "desk", "1 mm", "8 in 10", "above", "x", "", "all"]
KEYS = [*WORDS, "any", "not", "known", "between"]
SCALARS = st.one_of(
    st.booleans(),
    st.integers(-3, 10**20),
    st.floats(allow_nan=False, allow_infinity=False),
    st.sampled_from(WORDS),
)
VALUES = st.recursive(
    SCALARS,
    lambda inner: st.one_of(
        st.lists(inner, max_size=3),
        st.dictionaries(
            st.sampled_from([*WORDS, "any", "not", "known", "between"]), inner, max_size=3
        ),
    ),
    max_leaves=5,
)


def paths(data: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """The way to every value."""
    found = [path] if path else []
    if isinstance(data, dict | list):
        for key, one in data.items() if isinstance(data, dict) else enumerate(data):
            found += paths(one, (*path, key))
    return found


SPOTS = [(name, *path) for name, data in DATA.items() for path in paths(data)]


def changed(spot: tuple[Any, ...], value: Any, leave_out: bool) -> str:
    """The file of the spot as JSON, which is YAML, with another value there, or without it."""
    data = json.loads(json.dumps(DATA[spot[0]]))
    around = data
    for step in spot[1:-1]:
        around = around[step]
    if leave_out:
        del around[spot[-1]]
    else:
        around[spot[-1]] = value
    return json.dumps(data, indent=1)


@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(spot=st.sampled_from(SPOTS), value=VALUES, leave_out=st.booleans())
def test_any_value_at_any_spot_loads_or_is_a_problem_at_a_place(
    tmp_path_factory: pytest.TempPathFactory, spot: tuple[Any, ...], value: Any, leave_out: bool
) -> None:
    folder: Path = tmp_path_factory.getbasetemp() / "random"
    folder.mkdir(exist_ok=True)
    text = changed(spot, value, leave_out)
    try:
        problems = load(small_rulebook(folder, **{spot[0]: text})).warnings
    except LoadError as error:
        problems = error.problems
    for problem in problems:
        assert str(problem).startswith(f"{problem.path}:{problem.line}:{problem.column}: ")
        assert problem.line <= max(text.count("\n"), 80) + 1
