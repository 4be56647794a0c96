"""Published values of scores of forecasts (BAY-12 to BAY-15).

Expected values, tolerances, sources and marks stand in check_values.yaml, entry by entry.
"""

from __future__ import annotations

from statistics import fmean
from typing import Final

import pytest

from advisor.proof.scores import Bin, brier, brier_parts, calibration_error, log_score
from tests.published.values import Computations, Inputs, assert_reproduced, parameters


def _bins(inputs: Inputs) -> list[Bin]:
    return [Bin(*one) for one in zip(inputs["n"], inputs["p"], inputs["hits"], strict=True)]


def _parts(inputs: Inputs) -> list[float]:
    parts = brier_parts(_bins(inputs))
    return [parts.reliability, parts.resolution, parts.uncertainty, parts.brier]


def _log_loss(inputs: Inputs) -> float:
    forecasts = zip(inputs["p"], inputs["y"], strict=True)
    return fmean(log_score(p if hit else 1.0 - p) for p, hit in forecasts)


COMPUTED: Final[Computations] = {
    "BAY-12": lambda i: brier(i["p"], i["y"]),
    "BAY-13": _log_loss,
    "BAY-14": lambda i: calibration_error(_bins(i)),
    "BAY-15": _parts,
}


@pytest.mark.parametrize("name", [one for one in parameters("BAY") if one.values[0] in COMPUTED])
def test_published_value_is_reproduced(name: str) -> None:
    assert_reproduced(name, COMPUTED)
