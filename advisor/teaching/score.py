"""How a lesson went, step by step, beside what the advisor would have done on the same vehicle."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from advisor.engine.belief import Belief
from advisor.engine.effects import decibans
from advisor.engine.hypotheses import flat
from advisor.engine.plan import Plan
from advisor.rulebook import Rulebook
from advisor.vehicles import Vehicle

from .practicefile import Practice, Step
from .work import Work

FORMAT = 1
MOST_STEPS = 400  # of the advisor; it ends far sooner
LEAST = 1e-12  # probabilities are held this far from 0 and 1, so that each weight is finite


@dataclass(frozen=True, slots=True)
class Advice:
    """What the advisor would do: a test, a repair, or (neither) handing the vehicle on.

    `saves` are the minutes that a test lowers the expected total by; `probability` is that of the
    cause of a repair.
    """

    test: str | None = None
    repair: str | None = None
    saves: float | None = None
    probability: float | None = None


@dataclass(frozen=True, slots=True)
class ScoredStep:
    """One step: its minutes, and what it told.

    `bits` is the entropy of what is wrong after it; `told_bits` how much less that is than
    before; `toward_truth_db` the weight of evidence, in decibans, that the step brought for what
    really is wrong; `lowered_minutes` by how much it lowered the expected minutes of repair.
    """

    kind: str
    id: str | None
    minutes: float
    bits: float
    told_bits: float
    toward_truth_db: float
    lowered_minutes: float
    truth_probability: float
    unsafe: bool
    wrong: bool
    advice: Advice

    @property
    def paid(self) -> bool:
        """Whether the step lowered the minutes to expect by more than it took."""
        return self.lowered_minutes >= self.minutes

    @property
    def followed(self) -> bool:
        """Whether it is what the advisor would have done."""
        same = {"test": self.advice.test, "repair": self.advice.repair}.get(self.kind)
        return same == self.id if self.id else not (self.advice.test or self.advice.repair)


@dataclass(frozen=True, slots=True)
class Tally:
    """How one way of working came out. `hints` are looks at the ranking."""

    minutes: float
    tests: int
    wrong_repairs: int
    unsafe_steps: int
    hints: int
    end: str | None
    steps: tuple[ScoredStep, ...]


@dataclass(frozen=True, slots=True)
class Score:
    """The learner's work and the advisor's, on one vehicle; both begin after the opening."""

    rulebook: str
    version: str
    seed: int
    number: int
    faults: tuple[str, ...]
    opening_minutes: float
    learner: Tally
    advisor: Tally

    def as_data(self) -> dict[str, Any]:
        """The score as plain data, format 1; minutes, bits and decibans as numbers."""
        return {"format": FORMAT, **asdict(self)}


def score(rulebook: Rulebook, vehicle: Vehicle, practice: Practice) -> Score:
    """Work through the lesson once more and weigh each step; then let the advisor do it."""
    begun = Work(rulebook, vehicle)
    begun.begin()
    return Score(
        rulebook=rulebook.meta.id,
        version=rulebook.meta.version,
        seed=practice.seed,
        number=practice.number,
        faults=vehicle.faults,
        opening_minutes=begun.minutes,
        learner=_tally(_Scorer(rulebook, vehicle), practice.steps),
        advisor=advised(rulebook, vehicle),
    )


def advised(rulebook: Rulebook, vehicle: Vehicle) -> Tally:
    """The advisor's own plan walked on this vehicle, until it is cured or handed on."""
    scorer = _Scorer(rulebook, vehicle)
    return _tally(scorer, _advised_steps(scorer))


def _advised_steps(scorer: _Scorer) -> Iterator[Step]:
    for _ in range(MOST_STEPS):
        if scorer.work.end is not None:
            return
        advice = scorer.advice
        if advice.test is not None:
            yield Step(test=advice.test)
        elif advice.repair is not None:
            yield Step(repair=advice.repair)
        else:
            yield Step(handed_on=True)


def _tally(scorer: _Scorer, steps: Sequence[Step] | Iterator[Step]) -> Tally:
    scored = [scorer.step(step) for step in steps]
    done = [one for one in scored if one.kind != "hint"]
    end = scorer.work.end
    return Tally(
        minutes=scorer.work.minutes,
        tests=sum(one.kind == "test" for one in done),
        wrong_repairs=sum(one.wrong for one in done),
        unsafe_steps=sum(one.unsafe for one in done),
        hints=len(scored) - len(done),
        end=end.value if end else None,
        steps=tuple(done),
    )


class _Scorer:
    """Does steps one after another and weighs each."""

    def __init__(self, rulebook: Rulebook, vehicle: Vehicle) -> None:
        self.work = Work(rulebook, vehicle)
        self.work.begin()
        self._rulebook = rulebook
        self._tests = {test.id: test for test in rulebook.rules.tests}
        index_of = rulebook.engine.effects.index_of
        self._truth = [index_of[fault] for fault in vehicle.faults]
        self._advice: Advice | None = None

    @property
    def advice(self) -> Advice:
        """What the advisor would do now."""
        if self._advice is None:
            self._advice = _advice(self.work.diagnosis.plan(at=self.work.at))
        return self._advice

    def step(self, step: Step) -> ScoredStep:
        """Do it, and tell what it was worth. A hint changes nothing."""
        work = self.work
        if step.hint is not None:
            return ScoredStep("hint", None, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, False, False, Advice())
        advice, minutes = self.advice, work.minutes
        bits, truth, expected = self._state()
        unsafe = step.test is not None and work.is_unsafe(self._tests[step.test])
        self._do(step)
        self._advice = None
        now_bits, now_truth, now_expected = self._state()
        return ScoredStep(
            kind="test" if step.test else "repair" if step.repair else "handed-on",
            id=step.test or step.repair,
            minutes=work.minutes - minutes,
            bits=now_bits,
            told_bits=bits - now_bits,
            toward_truth_db=decibans(_odds(now_truth) / _odds(truth)) if step.test else 0.0,
            lowered_minutes=expected - now_expected,
            truth_probability=now_truth,
            unsafe=unsafe,
            wrong=step.repair is not None and step.repair not in work.vehicle.faults,
            advice=advice,
        )

    def _do(self, step: Step) -> None:
        if step.test is not None:
            self.work.test(step.test)
        elif step.repair is not None:
            self.work.repair(step.repair)
        else:
            self.work.hand_on()

    def _state(self) -> tuple[float, float, float]:
        """Entropy in bits, the probability of what really is wrong, minutes of repair to expect.

        Nothing is left to expect of a vehicle that is cured or handed on.
        """
        if self.work.end is not None:
            return 0.0, 1.0, 0.0
        engine, diagnosis = self._rulebook.engine, self.work.diagnosis
        mended = sorted(engine.effects.index_of[cause] for cause in diagnosis.mended)
        left = diagnosis.belief().left(mended)
        hypotheses, masses = flat(self._rulebook.rules, left, None)
        expected = engine.planner.repairs.plan(hypotheses, masses).expected_minutes
        truth = [fault for fault in self._truth if fault not in mended]
        return entropy_bits(left), _mass_of(truth, left), expected


def _mass_of(truth: Sequence[int], belief: Belief) -> float:
    match truth:
        case [one]:
            return belief.marginals()[one]
        case [one, other]:
            return belief.pair[one][other]
        case _:
            return belief.none


def _advice(plan: Plan) -> Advice:
    if plan.test is not None:
        return Advice(test=plan.test, saves=plan.options[0].saves)
    if plan.repair.steps:
        first = plan.repair.steps[0]
        return Advice(repair=first.cause, probability=first.probability)
    return Advice()


def entropy_bits(belief: Belief) -> float:
    """Entropy of a belief in bits. Source: Shannon, Bell System Technical Journal 27, 1948."""
    pairs = [mass for i, row in enumerate(belief.pair) for mass in row[i + 1 :]]
    masses = (belief.none, *belief.single, *pairs)
    return -math.fsum(mass * math.log2(mass) for mass in masses if mass > 0.0)


def _odds(probability: float) -> float:
    held = min(max(probability, LEAST), 1.0 - LEAST)
    return held / (1.0 - held)
