"""The rings of a case by themselves, whichever cause leads: as plain values and as text."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any

from advisor.cases import CaseFile
from advisor.engine.diagnosis import Diagnosis
from advisor.report.cure import cure_of
from advisor.report.display import Display
from advisor.report.ringstext import rings_lines
from advisor.report.ringviews import RingsView
from advisor.report.wording import percent
from advisor.rulebook import Rulebook
from advisor.stock import Stock

FORMAT = 1  # of the JSON form; raised when a field changes its meaning or goes


@dataclass(frozen=True, slots=True)
class RingReport:
    """The rings that cure one cause; `probability` is that of the cause, cautions come first."""

    format: int
    case: str
    cause: str
    name: str
    probability: float
    cautions: tuple[str, ...]
    rings: RingsView

    def as_data(self) -> dict[str, Any]:
        """The report as plain data for JSON."""
        return asdict(self)


def causes_with_rings(rulebook: Rulebook, diagnosis: Diagnosis) -> tuple[str, ...]:
    """The possible causes whose cure chooses rings, most probable first."""
    ranked = (one.cause for one in diagnosis.ranking().causes)
    return tuple(cause for cause in ranked if rulebook.causes[cause].remedy.rings is not None)


def ring_report(
    case: CaseFile, rulebook: Rulebook, diagnosis: Diagnosis, cause: str, stock: Stock | None
) -> RingReport:
    """The rings for a cause whose cure chooses some."""
    cure = cure_of(rulebook, diagnosis, Display(rulebook, case.latest()), cause, stock)
    assert cure.rings is not None, f"{cause} chooses no rings"
    ranked = (one.probability for one in diagnosis.ranking().causes if one.cause == cause)
    return RingReport(
        FORMAT, case.id, cause, cure.name, next(ranked, 0.0), cure.cautions, cure.rings
    )


def ring_report_text(report: RingReport) -> str:
    """The report as lines, cautions first. Not yet wrapped."""
    lines = [
        f"case {report.case}: rings to cure, if it is this ({percent(report.probability)} likely): "
        f"{report.name}",
        *(f"   CAUTION: {caution}" for caution in report.cautions),
        *rings_lines(report.rings),
        "   limits and torques: the vehicle maker's service information comes first",
    ]
    return "\n".join(lines)
