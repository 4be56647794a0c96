"""The JSON of check, prove, compare, replay and calibrate."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from advisor.proof.coverage import Coverage
from advisor.proof.running import Failure
from advisor.proof.scores import Parts
from advisor.proof.tally import Tally


@dataclass(frozen=True)
class Mark:
    """A place in a file; lines and columns from 1."""

    path: str
    line: int
    column: int


@dataclass(frozen=True)
class RelatedPlace(Mark):
    """Another place that a problem has to do with."""

    message: str


@dataclass(frozen=True)
class ProblemRecord(Mark):
    """Something wrong in a file: what, where, and the nearest known name as a hint."""

    end_column: int | None
    code: str
    severity: Literal["error", "warning"]
    message: str
    hint: str
    related: tuple[RelatedPlace, ...]


@dataclass(frozen=True)
class Checked:
    """What check found; `failed` says whether the rulebook does not load."""

    format: int
    failed: bool
    problems: tuple[ProblemRecord, ...]


@dataclass(frozen=True)
class ExampleResult(Mark):
    """One example of a rulebook, and what came out."""

    id: str
    says: str
    held_back: bool
    passed: bool
    leading: str | None
    leading_probability: float
    failures: tuple[Failure, ...]


@dataclass(frozen=True)
class Gap(Mark):
    """An example that is written down as failing, and why."""

    id: str
    why: str


@dataclass(frozen=True)
class CalibrationBin:
    """Forecasts of about one probability, and the share that came true with its 95 % interval."""

    count: int
    probability: float
    hits: int
    share: float
    share_low: float
    share_high: float


@dataclass(frozen=True)
class TallyRecord(Tally):
    """The scores of one group of examples."""

    calibration: tuple[CalibrationBin, ...]  # type: ignore[assignment] # with shares in the JSON


@dataclass(frozen=True)
class GroupScores:
    """The scores of the examples seen while writing, and of those held back."""

    seen: TallyRecord | None
    held_back: TallyRecord | None


@dataclass(frozen=True)
class MutantRecord(Mark):
    """A small change of the rules, and whether an example noticed it."""

    kind: str
    section: str
    id: str
    change: str
    outcome: str


@dataclass(frozen=True)
class MutationRecord:
    """The changes that were tried, of how many."""

    total: int
    seed: int
    mutants: tuple[MutantRecord, ...]


@dataclass(frozen=True)
class Proved:
    """What the examples of a rulebook prove."""

    format: int
    rulebook: str
    rulebook_version: str
    examples: tuple[ExampleResult, ...]
    known_gaps: tuple[Gap, ...]
    closed_gaps: tuple[Gap, ...]
    warnings: tuple[ProblemRecord, ...]
    coverage: Coverage | None
    scores: GroupScores | None
    mutation: MutationRecord | None


@dataclass(frozen=True)
class BookRecord:
    """A rulebook that was compared."""

    folder: str
    id: str
    version: str


@dataclass(frozen=True)
class DifferenceRecord:
    """A record that differs, with its place in both rulebooks."""

    section: str
    id: str
    details: tuple[str, ...]
    only_words: bool
    before: Mark | None
    after: Mark | None


@dataclass(frozen=True)
class StandRecord:
    """How a vehicle stands by one of the rulebooks."""

    leading: str | None
    leading_probability: float
    first: tuple[str, ...]
    stops: tuple[str, ...]
    next: str | None


@dataclass(frozen=True)
class ShiftRecord:
    """A probability that changed."""

    name: str
    before: float
    after: float


@dataclass(frozen=True)
class RuleRecord:
    """A record of a rulebook by its section and id."""

    section: str
    id: str


@dataclass(frozen=True)
class ReasonRecord(RuleRecord):
    """A rule that moved the ranking, by how much, and what made it change."""

    decibans: float | None
    by: tuple[RuleRecord, ...]


@dataclass(frozen=True)
class ComparedVehicle:
    """A case or an example, and where it stands; an example has a line."""

    id: str
    path: str
    line: int


@dataclass(frozen=True)
class MovedVehicle(ComparedVehicle):
    """A vehicle whose ranking moved, and why; `odds` are the two causes whose odds it explains."""

    right: tuple[str, ...]
    verdict: str | None
    leader_changed: bool
    before: StandRecord
    after: StandRecord
    probabilities: tuple[ShiftRecord, ...]
    odds: tuple[str, ...] | None
    reasons: tuple[ReasonRecord, ...]


@dataclass(frozen=True)
class LeftVehicle(ComparedVehicle):
    """A vehicle that one of the rulebooks cannot read."""

    rulebook: str
    reasons: tuple[str, ...]


@dataclass(frozen=True)
class Compared:
    """Two rulebooks over the same vehicles."""

    format: int
    older: BookRecord
    newer: BookRecord
    threshold: float
    differences: tuple[DifferenceRecord, ...]
    compared: int
    moved: tuple[MovedVehicle, ...]
    not_compared: tuple[LeftVehicle, ...]


@dataclass(frozen=True)
class FolderRead:
    """What was read of a folder of cases."""

    format: int
    rulebook: str
    rulebook_version: str
    files: int
    closed: int
    open: int
    unreadable: int
    rulebook_versions: dict[str, int]
    problems: tuple[ProblemRecord, ...]


@dataclass(frozen=True)
class PlacesRecord:
    """How often the true cause came first, and among the first three, with 95 % intervals."""

    cases: int
    first: int
    first_three: int
    first_share: float
    first_low: float
    first_high: float
    first_three_share: float
    first_three_low: float
    first_three_high: float


@dataclass(frozen=True)
class ReplayScores:
    """Scores over all cases, with the 95 % interval of the log score."""

    log_score: float
    log_score_low: float | None
    log_score_high: float | None
    brier: float
    calibration_error: float
    parts: Parts
    calibration: tuple[CalibrationBin, ...]


@dataclass(frozen=True)
class Confusion:
    """In how many cases of these causes that one led; null is none of the listed."""

    true: tuple[str, ...]
    leading: str | None
    cases: int


@dataclass(frozen=True)
class MeanMinutes:
    """A mean, and of how many cases."""

    cases: int
    mean: float | None


@dataclass(frozen=True)
class ReplayMinutes:
    """Minutes that the cases took, and those of the planner's own walks."""

    spent: MeanMinutes
    planned_for_the_same: MeanMinutes
    planned: MeanMinutes
    first_after_walk: int | None


@dataclass(frozen=True)
class Replayed(FolderRead):
    """Closed cases ranked again."""

    more_causes: int
    all: PlacesRecord | None
    by_outcome: dict[str, PlacesRecord]
    scores: ReplayScores | None
    confusion: tuple[Confusion, ...]
    minutes: ReplayMinutes


@dataclass(frozen=True)
class ChangeRecord:
    """A number as it is and as the cases have it, with its 95 % interval."""

    old: float
    new: float
    low: float
    high: float
    telling: bool


@dataclass(frozen=True)
class CommonnessRecord(ChangeRecord):
    """How common a cause is."""

    cause: str
    cases: int


@dataclass(frozen=True)
class FewCases:
    """A rate for which there are too few cases; a null cause is the usual rate."""

    finding: str
    cause: str | None
    cases: int


@dataclass(frozen=True)
class RateRecord(FewCases):
    """A finding's rate with a cause, by outcome."""

    outcomes: dict[str, ChangeRecord]


@dataclass(frozen=True)
class Calibrated(FolderRead):
    """Better rates from closed cases."""

    cases: int
    two_causes: int
    more_causes: int
    least_cases: int
    strength: float
    likeliest_strength: float | None
    none_of_the_listed: ChangeRecord | None
    commonness_strength: float
    commonness: tuple[CommonnessRecord, ...]
    rates: tuple[RateRecord, ...]
    too_few_cases: tuple[FewCases, ...]
