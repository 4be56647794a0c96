"""The JSON of find, similar and figures."""

from __future__ import annotations

from dataclasses import dataclass

from .proving import ProblemRecord


@dataclass(frozen=True)
class CaseInShort:
    """A case of the library; `confirmed` is null while it is open."""

    file: str
    id: str
    began: str | None
    vehicle: str
    complaint: str
    closed: bool
    confirmed: tuple[str, ...] | None
    leading: str | None
    probability: float | None
    place: str | None
    minutes_spent: float


@dataclass(frozen=True)
class FoundCases:
    """The first cases that have all that is wanted, and how many there are in all."""

    format: int
    count: int
    cases: tuple[CaseInShort, ...]
    without_date: int
    unreadable: tuple[ProblemRecord, ...]


@dataclass(frozen=True)
class ShareRecord:
    """So many of so many, with the 95 % interval of the share (Wilson)."""

    hits: int
    count: int
    share: float | None
    low: float
    high: float


@dataclass(frozen=True)
class CauseFiguresRecord:
    """One cause over all cases."""

    cause: str
    name: str
    confirmed: ShareRecord
    came_back: ShareRecord


@dataclass(frozen=True)
class WorkRecord:
    """Minutes of work and proof as they were, beside the rulebook's estimate."""

    cases: int
    minutes_spent: float
    minutes_estimated: float
    median_ratio: float | None


@dataclass(frozen=True)
class FiguresRecord:
    """What was confirmed, what came back, what it took."""

    format: int
    closed: int
    open: int
    none_of_the_listed: ShareRecord
    causes: tuple[CauseFiguresRecord, ...]
    came_back: ShareRecord
    leading_was_confirmed: ShareRecord
    first_repair_cured: ShareRecord
    median_minutes_of_diagnosis: float | None
    work: WorkRecord
    unreadable: tuple[ProblemRecord, ...]


@dataclass(frozen=True)
class CureRecord:
    """The cure of a confirmed cause, with the cautions to heed before it."""

    cause: str
    name: str
    cautions: tuple[str, ...]
    steps: tuple[str, ...]
    minutes: float


@dataclass(frozen=True)
class Seen:
    """A finding with its outcome."""

    finding: str
    says: str
    outcome: str


@dataclass(frozen=True)
class SharedRecord:
    """What both cases tell of one observation, and its share of the likeness."""

    share: float
    here: Seen
    there: Seen


@dataclass(frozen=True)
class AlikeRecord(CaseInShort):
    """A case like this one, and what cured it."""

    likeness: float
    none_of_the_listed: bool
    cures: tuple[CureRecord, ...]
    work: str | None
    note: str | None
    minutes_of_work: float | None
    shared: tuple[SharedRecord, ...]
    differing: tuple[SharedRecord, ...]


@dataclass(frozen=True)
class AlikeFound:
    """The cases most like one, closed and open ones apart."""

    format: int
    closed: tuple[AlikeRecord, ...]
    open: tuple[AlikeRecord, ...]
    compared: int
    left_out_as_impossible: int
    unreadable: tuple[ProblemRecord, ...]
