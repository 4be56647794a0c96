"""The road-test plan that the desk leaves to the technician: cautions, where to look, tests."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from advisor import units
from advisor.cases import CaseFile
from advisor.engine.diagnosis import Diagnosis
from advisor.engine.plan import pays
from advisor.engine.values import Number
from advisor.rulebook import Rulebook

from .concern import Concern, concern_questions

COVERAGE: float = 2.0
"""Standard uncertainties to either side of a speed: about 95 in 100. Source: JCGM 100:2008, G.6."""


@dataclass(frozen=True, slots=True)
class RoadTest:
    """One test on the road, with what it answers."""

    id: str
    name: str
    minutes: float
    how: str
    asks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RoadPlan:
    """Tests on the road in their order, after the cautions; `look` says at which speed and load.

    `minutes` are those of all of them with the way there.
    """

    cautions: tuple[str, ...]
    look: tuple[str, ...]
    tests: tuple[RoadTest, ...]
    minutes: float


def road_plan(
    case: CaseFile, rulebook: Rulebook, diagnosis: Diagnosis, concern: Concern
) -> RoadPlan | None:
    """The plan, or None when the vehicle must not be driven or no test on the road pays."""
    if diagnosis.stops():
        return None
    tests = tuple(_tests(case, rulebook, diagnosis))
    if not tests:
        return None
    places = dict.fromkeys(rulebook.tests[test.id].place for test in tests)
    at = case.place or next(iter(rulebook.places))
    way = sum(rulebook.places[place].minutes for place in places if place != at)
    return RoadPlan(
        rulebook.cautions_before(test.id for test in tests),
        tuple(_look(case, rulebook, diagnosis, concern)),
        tests,
        way + sum(test.minutes for test in tests),
    )


def _tests(case: CaseFile, rulebook: Rulebook, diagnosis: Diagnosis) -> Iterator[RoadTest]:
    """The tests that pay for one who is on the road anyway, the best first, each once."""
    seen: set[str] = set()
    for place in (name for name, model in rulebook.places.items() if model.driving):
        options = diagnosis.plan(at=place, places={place}, put_off=case.put_off).options
        for name in (name for option in options if pays(option) for name in option.tests):
            test = rulebook.tests[name]
            asks = tuple(
                rulebook.questions[question].ask
                for question in test.answers
                if diagnosis.is_asked(question) and not diagnosis.is_answered(question)
            )
            if asks and name not in seen:
                seen.add(name)
                hows = (test.how, *(rulebook.questions[one].how for one in test.answers))
                how = " ".join(dict.fromkeys(text for text in hows if text))
                yield RoadTest(name, test.name, test.minutes, how, asks)


def _look(
    case: CaseFile, rulebook: Rulebook, diagnosis: Diagnosis, concern: Concern
) -> Iterator[str]:
    """At which speed, when, and under which load to look, as far as it is known."""
    for about in ("speed", "load", "when"):
        yield from (
            sentence.text for sentence in (*concern.told, *concern.found) if sentence.about == about
        )
        if about == "speed":
            yield from _bands(case, rulebook, diagnosis)


def _bands(case: CaseFile, rulebook: Rulebook, diagnosis: Diagnosis) -> Iterator[str]:
    """The band of speed to go through slowly, from each speed that was told, in whole units."""
    found = False
    for question, model in concern_questions(rulebook, diagnosis).items():
        value, unit = diagnosis.value(question), rulebook.facts[question].unit
        if model.about == "speed" and isinstance(value, Number) and unit is not None:
            found = True
            typed = units.parse(case.latest()[question], unit.dimension).unit
            reach = COVERAGE * value.u
            low, high = (
                units.show(round(end / typed.factor) * typed.factor, typed)
                for end in (max(value.value - reach, 0.0), value.value + reach)
            )
            yield f"Go slowly through {low} to {high}, up and down."
    if not found:
        yield "No speed is known: go slowly through all the speeds that the road allows."
