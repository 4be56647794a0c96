"""Every published check value is computed by some test, whichever module holds it."""

from __future__ import annotations

from collections import Counter
from types import ModuleType
from typing import Any, Final

from tests.published import (
    test_bayes,
    test_causes,
    test_kinematics,
    test_parts,
    test_scores,
    test_speeds,
)
from tests.published.values import DATA, ENTRIES

MODULES: Final = (
    test_bayes,
    test_causes,
    test_kinematics,
    test_parts,
    test_scores,
    test_speeds,
)
ALL_OF_THE_HANDBOOK: Final = 141


def _ids_run(module: ModuleType) -> list[str]:
    """The ids that the module's test really runs with, read off its own parameters."""
    test: Any = module.test_published_value_is_reproduced
    (mark,) = (one for one in test.pytestmark if one.name == "parametrize")
    return [getattr(one, "values", (one,))[0] for one in mark.args[1]]


def test_all_values_of_the_handbook_are_in_the_file_once() -> None:
    """Handbook section 0.3."""
    assert len(DATA["check_values"]) == len(ENTRIES) == ALL_OF_THE_HANDBOOK


def test_every_value_is_run_by_exactly_one_module() -> None:
    runs = Counter(name for module in MODULES for name in _ids_run(module))
    assert set(runs) == set(ENTRIES)
    assert set(runs.values()) == {1}
