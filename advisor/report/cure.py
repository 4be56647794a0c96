"""How a cause is cured, with its numbers where they can be computed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from advisor.engine.diagnosis import Diagnosis
from advisor.engine.values import UNKNOWN
from advisor.report.display import Display
from advisor.report.rings import rings_view
from advisor.report.ringviews import RingsView
from advisor.rulebook import Rulebook
from advisor.stock import Stock


@dataclass(frozen=True, slots=True)
class Shown:
    """A named value, in words with its unit."""

    id: str
    name: str
    value: str


@dataclass(frozen=True, slots=True)
class Cure:
    """How a cause is cured, proved cured, and recorded; cautions come first."""

    cause: str
    name: str
    what: str
    cautions: tuple[str, ...]
    steps: tuple[str, ...]
    computed: tuple[Shown, ...]
    rings: RingsView | None
    minutes: float
    proof_cautions: tuple[str, ...]
    proof: tuple[str, ...]
    proof_minutes: float
    record: tuple[str, ...]


def cure_of(
    rulebook: Rulebook, diagnosis: Diagnosis, display: Display, cause: str, stock: Stock | None
) -> Cure:
    """The cure of a cause; rings are chosen from `stock`, if the remedy wants any."""
    model = rulebook.causes[cause]
    remedy = model.remedy
    shown = []
    for fact in remedy.shows:
        value = diagnosis.value(fact)
        reason = diagnosis.reason_unknown(fact) or "not measured yet"
        text = reason if value is UNKNOWN else display.value(fact, value)
        shown.append(Shown(fact, rulebook.name_of(fact), text))
    rings = (
        None
        if remedy.rings is None
        else rings_view(rulebook, diagnosis, display, remedy.rings, stock)
    )
    cautions = (
        *remedy_cautions(rulebook, cause),
        *rulebook.cautions_before(_tests_waited_for(rulebook, rings)),
    )
    return Cure(
        cause,
        model.name,
        model.what,
        tuple(dict.fromkeys(cautions)),
        remedy.steps,
        tuple(shown),
        rings,
        remedy.minutes,
        _texts(rulebook, rulebook.places[where].cautions if (where := model.verify.place) else ()),
        model.verify.steps,
        model.verify.minutes,
        model.record,
    )


def remedy_cautions(rulebook: Rulebook, cause: str) -> tuple[str, ...]:
    """The texts of the cautions before the repair of a cause."""
    return _texts(rulebook, rulebook.causes[cause].remedy.cautions)


def _texts(rulebook: Rulebook, cautions: Iterable[str]) -> tuple[str, ...]:
    return tuple(rulebook.cautions[name].text for name in cautions)


def _tests_waited_for(rulebook: Rulebook, rings: RingsView | None) -> Iterable[str]:
    """The tests that the choice of rings still waits for."""
    waiting = {fact.id for axis in rings.open for fact in axis.measure} if rings else set()
    return (name for name, test in rulebook.tests.items() if waiting & set(test.answers))
