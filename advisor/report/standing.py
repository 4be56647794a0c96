"""Why another cause does not lead: where it stands, what speaks for it and against, what would."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.engine.diagnosis import Diagnosis
from advisor.engine.turning import Turn
from advisor.report.assessment import cause_view
from advisor.report.text import evidence_lines
from advisor.report.wording import cause_name, outcome_name, percent
from advisor.rulebook import Rulebook


def standing_text(rulebook: Rulebook, diagnosis: Diagnosis, cause: str) -> str:
    """A cause's place and probability, its evidence, and the fewest findings that put it first."""
    return "\n".join(_standing(rulebook, diagnosis, cause))


def _standing(rulebook: Rulebook, diagnosis: Diagnosis, cause: str) -> Iterator[str]:
    causes = diagnosis.ranking().causes
    name = cause_name(rulebook, cause)
    place = next((k for k, one in enumerate(causes, 1) if one.cause == cause), None)
    if place is None:
        mended = cause in diagnosis.mended
        yield f"{name}: " + ("mended without a cure" if mended else "cannot be on this vehicle")
        return
    chance = causes[place - 1].probability
    yield f"{name}: number {place} of {len(causes)}, {percent(chance)}"
    view = cause_view(rulebook, chance, diagnosis.trail(cause))
    told = list(evidence_lines(view))
    yield from told or ["   nothing known speaks for or against it"]
    yield from [f"   {line}" for line in upset_lines(rulebook, diagnosis, cause)] or ["   it leads"]


def upset_lines(rulebook: Rulebook, diagnosis: Diagnosis, cause: str) -> Iterator[str]:
    """What would have to be otherwise, or to be known, for a cause to lead; none if it does."""
    upset = diagnosis.upset_by(cause)
    if upset.turns is None:
        yield f"no {upset.ruled_out} findings, were they otherwise, would put it first"
    elif upset.turns:
        how_few = "the fewest there are" if upset.is_smallest else "no smaller set was found"
        yield f"it would lead if this were so ({how_few}):"
        for turn in upset.turns:
            outcome = outcome_name(rulebook, turn.finding, turn.outcome)
            says = rulebook.findings[turn.finding].says
            chance = percent(turn.probability)
            yield f" - {says}: {outcome} ({_state(rulebook, diagnosis, turn)}; {chance} likely)"


def _state(rulebook: Rulebook, diagnosis: Diagnosis, turn: Turn) -> str:
    """Whether the finding is otherwise now, or what would settle it."""
    if turn.is_known:
        return "now otherwise"
    tests = diagnosis.tests_to_settle(turn.finding)
    names = " and ".join(f'"{rulebook.tests[test].name}"' for test in tests)
    return f"not known yet, see {names}" if names else "not known yet"
