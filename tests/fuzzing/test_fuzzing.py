"""A short run of inputs by chance, and all inputs that once failed."""

from __future__ import annotations

from pathlib import Path
from random import Random

import pytest

from tests.fuzzing.inputs import input_for
from tests.fuzzing.samples import SAMPLES
from tests.fuzzing.targets import TARGETS
from tests.fuzzing.watch import HangError, feed, limited

REGRESSIONS = Path(__file__).with_name("regressions")
TALKS = [target for target in TARGETS if target.endswith(("-keys", "-lines"))]
SHORT = {"command-line": 60, "draft-file": 60, **dict.fromkeys(TALKS, 10)}
USUAL = 200
KEPT = sorted(path for path in REGRESSIONS.glob("*/*") if path.is_file())


def test_every_target_has_samples() -> None:
    assert SAMPLES.keys() == TARGETS.keys()


@pytest.mark.parametrize("target", sorted(TARGETS))
def test_samples_themselves_are_taken(target: str) -> None:
    for sample in SAMPLES[target]:
        feed(target, sample)


@pytest.mark.parametrize("target", sorted(TARGETS))
def test_spoilt_inputs_end_in_a_complaint_at_most(target: str) -> None:
    source = Random(f"short {target}")
    for _ in range(SHORT.get(target, USUAL)):
        feed(target, input_for(target, source))


@pytest.mark.parametrize("path", KEPT, ids=lambda path: f"{path.parent.name}-{path.name}")
def test_input_that_once_failed(path: Path) -> None:
    feed(path.parent.name, path.read_bytes())


def test_endless_work_is_noticed() -> None:
    with pytest.raises(HangError):
        _work_for_ever()


def _work_for_ever() -> None:
    with limited(0.05):
        while True:
            pass
