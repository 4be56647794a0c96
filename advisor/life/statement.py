"""Concern, cause and correction of a case: what a repair order wants, as plain values."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any

from advisor.cases import CaseFile
from advisor.engine.diagnosis import Diagnosis
from advisor.report.assessment import Stop, stop_of
from advisor.report.wording import cause_name
from advisor.rulebook import Rulebook

from .concern import Concern, concern_of
from .correction import CauseFound, Correction, causes_found, correction_of
from .private import Private
from .roadtest import RoadPlan, road_plan

FORMAT = 1  # of the JSON form; raised when a field changes its meaning or goes


@dataclass(frozen=True, slots=True)
class Earlier:
    """The earlier case of a vehicle that came back."""

    case: str
    ever_right: str
    causes: tuple[str, ...]
    complaint: str
    work: str
    closed_at: str


@dataclass(frozen=True, slots=True)
class Statement:
    """What a repair order says of a case. `private` is None unless it was asked for."""

    format: int
    case: str
    vehicle: str
    complaint: str
    stop_driving: tuple[Stop, ...]
    concern: Concern
    road_test: RoadPlan | None
    causes: tuple[CauseFound, ...]
    correction: Correction | None
    comeback_of: Earlier | None
    failed_repairs: tuple[str, ...]
    private: dict[str, str] | None

    def as_data(self) -> dict[str, Any]:
        """The statement as plain data for JSON."""
        return asdict(self)


def statement_of(
    case: CaseFile, rulebook: Rulebook, diagnosis: Diagnosis, private: Private | None = None
) -> Statement:
    """The statement of a case; the road-test plan only while the case is open."""
    concern = concern_of(case, rulebook, diagnosis)
    is_open = case.outcome is None
    return Statement(
        FORMAT,
        case.id,
        case.vehicle,
        case.complaint,
        tuple(stop_of(rulebook, diagnosis, name) for name in diagnosis.stops()) if is_open else (),
        concern,
        road_plan(case, rulebook, diagnosis, concern) if is_open else None,
        causes_found(case, rulebook),
        correction_of(case, rulebook, diagnosis),
        _earlier(case, rulebook),
        tuple(dict.fromkeys(cause_name(rulebook, repair.cause) for repair in case.repairs)),
        private.as_data() if private else None,
    )


def _earlier(case: CaseFile, rulebook: Rulebook) -> Earlier | None:
    back = case.comeback_of
    if back is None:
        return None
    names = (
        rulebook.causes[name].name if name in rulebook.causes else name for name in back.causes
    )
    return Earlier(
        back.case,
        back.ever_right,
        tuple(names),
        back.complaint,
        back.work or "",
        back.closed_at or "",
    )
