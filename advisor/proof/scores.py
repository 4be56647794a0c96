"""Scores of probabilities against what turned out to be so. Lower is better for each loss.

`probabilities` are 0 to 1, `hits` are true where the foretold thing was so; they run in step.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import Any

LEAST = 1e-15  # probabilities are held this far from 0, so that one sure mistake stays finite
BINS = 10
Z_95 = 1.959963984540054  # of the standard normal distribution: 95 % lie within +/- this


def brier(probabilities: Sequence[float], hits: Sequence[bool]) -> float:
    """Mean square of probability minus outcome, 0 to 1.

    Source: Brier, Monthly Weather Review 78(1), 1950, for one of two events (handbook BAY-12, F).
    """
    squares = [(p - hit) ** 2 for p, hit in zip(probabilities, hits, strict=True)]
    return math.fsum(squares) / len(squares)


def log_score(probability: float) -> float:
    """The surprise, in nats, at what had this probability: 0 when it was certain."""
    return -math.log(max(probability, LEAST))


@dataclass(frozen=True, slots=True)
class Bin:
    """Forecasts of about the same probability: how many, their mean, and how many came true."""

    count: int
    probability: float
    hits: int

    @property
    def share(self) -> float:
        """The share that came true."""
        return self.hits / self.count

    def interval(self) -> tuple[float, float]:
        """The 95 % interval of the share, see `wilson_interval`."""
        return wilson_interval(self.hits, self.count)

    def as_data(self) -> dict[str, Any]:
        """The bin as plain data for JSON."""
        low, high = self.interval()
        return {**asdict(self), "share": self.share, "share_low": low, "share_high": high}

    def as_line(self) -> str:
        """The bin as a line of a table: foretold, forecasts, came true, share with interval."""
        low, high = self.interval()
        return (
            f"{self.probability:>8.3f}  {self.count:>9}  {self.hits:>9}  "
            f"{self.share:.3f}, {low:.3f} to {high:.3f}"
        )


def bin_of(probability: float) -> int:
    """The number of the bin that a forecast belongs to, from 0."""
    return min(int(probability * BINS), BINS - 1)


def binned(probabilities: Sequence[float], hits: Sequence[bool]) -> tuple[Bin, ...]:
    """The forecasts in ten bins of equal width, lowest first; empty bins are left out.

    A forecast on the border of two bins belongs to the upper one; 1 belongs to the last.
    """
    members: dict[int, list[tuple[float, bool]]] = {}
    for p, hit in zip(probabilities, hits, strict=True):
        members.setdefault(bin_of(p), []).append((p, hit))
    return tuple(
        Bin(len(inside), math.fsum(p for p, _ in inside) / len(inside), sum(h for _, h in inside))
        for _, inside in sorted(members.items())
    )


def calibration_error(bins: Sequence[Bin]) -> float:
    """Mean distance of share from probability, weighed by the bins' counts (BAY-14, F)."""
    total = sum(one.count for one in bins)
    return math.fsum(one.count * abs(one.share - one.probability) for one in bins) / total


@dataclass(frozen=True, slots=True)
class Parts:
    """The three parts of a Brier score: reliability - resolution + uncertainty."""

    reliability: float
    resolution: float
    uncertainty: float

    @property
    def brier(self) -> float:
        """The Brier score of the bins, each taken at its mean probability."""
        return self.reliability - self.resolution + self.uncertainty


def brier_parts(bins: Sequence[Bin]) -> Parts:
    """The parts of the Brier score over bins.

    Source: Murphy, Journal of Applied Meteorology 12(4), 1973 (handbook BAY-15, M).
    """
    total = sum(one.count for one in bins)
    base = sum(one.hits for one in bins) / total
    reliability = math.fsum(one.count * (one.probability - one.share) ** 2 for one in bins)
    resolution = math.fsum(one.count * (one.share - base) ** 2 for one in bins)
    return Parts(reliability / total, resolution / total, base * (1.0 - base))


def wilson_interval(hits: int, count: int) -> tuple[float, float]:
    """The 95 % interval of a share of `hits` in `count` (1 or more), within 0 to 1.

    It takes the trials as independent. Source: Wilson, Journal of the American Statistical
    Association 22, 1927 (from memory).
    """
    share, z2 = hits / count, Z_95 * Z_95
    middle = (share + z2 / (2.0 * count)) / (1.0 + z2 / count)
    spread = math.sqrt(share * (1.0 - share) / count + z2 / (4.0 * count * count))
    half = Z_95 * spread / (1.0 + z2 / count)
    # Rounding must not keep an interval off the share itself at the ends.
    low = 0.0 if hits == 0 else middle - half
    return low, 1.0 if hits == count else middle + half
