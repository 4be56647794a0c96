"""The JSON of practise."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.teaching.score import Score


@dataclass(frozen=True)
class ScoreRecord(Score):
    """The learner's work and the advisor's on one practice vehicle."""

    format: int
