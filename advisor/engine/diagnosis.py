"""One vehicle under diagnosis: answers in; ranking, plan and trail out."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping

from .belief import Belief, Factored, Priors
from .chain import Chain, Conflict, Weights
from .choices import Choice, choices
from .effects import Effects
from .evidence import Evidence
from .explain import Basis, Explainer, FactBasis, SecondLook, Trail
from .leaves import UNKNOWN_TRUTH
from .network import Network
from .plan import Plan, Planner
from .ranking import Ranking, ranked
from .rules import Rules
from .situation import Situation
from .surprise import expected, is_surprising
from .turning import Turn, Turning, Upset
from .values import UNKNOWN, Value
from .ways import Way


class Engine:
    """A rulebook made ready once: what all diagnoses of that rulebook share."""

    def __init__(self, rules: Rules) -> None:
        self.rules = rules
        self.names = tuple(cause.id for cause in rules.causes)
        self.network = Network(rules)
        self.blank = Chain(rules, self.network)
        self.known_at_first = tuple(
            finding.id for finding in rules.findings if self.blank.weights(finding.id) is not None
        )
        self.effects = Effects(rules)
        self.priors = Priors(rules)
        self.planner = Planner(rules, self.effects)


class Diagnosis:
    """The state of one vehicle's diagnosis. Results don't depend on the order of answers."""

    def __init__(self, engine: Engine | Rules) -> None:
        self.engine = Engine(engine) if isinstance(engine, Rules) else engine
        rules, network = self.engine.rules, self.engine.network
        self._chain = self.engine.blank.copy()
        self._evidence = Evidence(rules, self.engine.effects)
        self._explainer = Explainer(
            rules, network, self.engine.effects, self._chain, self._evidence
        )
        self._turning = Turning(rules, self.engine.effects, self._chain, self._evidence)
        self._prior: Factored | None = None
        self._belief: Belief | None = None
        self._mended: set[str] = set()
        self._mended_before: dict[str, frozenset[str]] = {}  # by the question answered later
        self._weigh(self.engine.known_at_first)

    def answer(self, question: str, value: Value) -> None:
        """Take an answer, new or changed; UNKNOWN is "don't know". Unknown id: KeyError.

        Causes mended so far have no part in it.
        """
        self._take(self._chain.answer(question, value), (question,))

    def answer_all(self, values: Mapping[str, Value]) -> None:
        """Take answers by question in one go: the same as one after another, in less time."""
        self._take(self._chain.answer_all(values), values)

    def take_back(self, question: str) -> None:
        """Forget an answer: the state is then exactly as if it had never been given."""
        changed = self._chain.take_back(question)
        self._take(changed, (question,), mended=())

    def mend(self, cause: str) -> None:
        """Take in that a cause was mended and the complaint remained. Unknown id: KeyError.

        Answers given so far were given with this cause still there.
        """
        self.engine.effects.index_of[cause]
        self._mended.add(cause)
        self._prior = self._belief = None

    def unmend(self, cause: str) -> None:
        """Forget that a cause was mended."""
        self._mended.discard(cause)
        for question, mended in self._mended_before.items():
            self._mended_before[question] = mended - {cause}
        self._weigh(self.engine.effects.findings)

    @property
    def mended(self) -> frozenset[str]:
        """The causes that were mended without a cure."""
        return frozenset(self._mended)

    def _take(
        self,
        changed: Collection[str],
        questions: Iterable[str],
        mended: Collection[str] | None = None,
    ) -> None:
        """Weigh what has changed. The answers came after these repairs (None: after all)."""
        before = frozenset(self._mended if mended is None else mended)
        findings = set(changed)
        for question in questions:
            if before != self._mended_before.get(question, frozenset()):
                self._mended_before[question] = before
                findings.update(self.findings_on(question))
        self._weigh(findings)

    def _weigh(self, findings: Iterable[str]) -> None:
        self._prior = self._belief = None
        for finding in findings:
            weights = self._chain.weights(finding)
            self._evidence.set(finding, weights, self._mended_before_finding(finding))

    def _mended_before_finding(self, finding: str) -> Collection[int]:
        """The causes mended before the last of the answers that a finding reads."""
        if not self._mended_before:
            return ()
        reads = self.engine.planner.reads[finding]
        return self._places_of(
            set().union(*(self._mended_before.get(question, ()) for question in reads))
        )

    # -- facts --

    @property
    def answers(self) -> dict[str, Value]:
        """All answers so far by question, "don't know" as UNKNOWN."""
        return self._chain.answers

    def is_answered(self, question: str) -> bool:
        """Whether there is an answer, "don't know" included."""
        return question in self._chain.answers

    def is_asked(self, question: str) -> bool:
        """Whether the question's `ask_if` holds; a question without one is always asked."""
        return self._ask_truth(question) > 0.0

    def _ask_truth(self, question: str) -> float:
        root = self.engine.network.ask_root.get(question)
        return 1.0 if root is None else self._chain.truth(root)

    def value(self, fact: str) -> Value:
        """The value of a fact; where it is measured and computed, the measured one."""
        return self._chain.value(fact)

    def reason_unknown(self, fact: str) -> str | None:
        """Why a computation had no answer, in words; None when it had, or lacks inputs."""
        return self._chain.reason_unknown(fact)

    def weights(self, finding: str) -> Weights | None:
        """The probabilities of a finding's outcomes, or None while it is unknown."""
        return self._chain.weights(finding)

    def conflicts(self) -> tuple[Conflict, ...]:
        """Facts whose measured and computed values disagree beyond their uncertainty."""
        return self._chain.conflicts()

    def counted(self) -> tuple[tuple[str, str], ...]:
        """The findings that count, each after the observation that it restates."""
        evidence = self._evidence
        return tuple((evidence.observation_of(name), name) for name, _ in evidence.counted())

    def close_calls(self) -> tuple[str, ...]:
        """Known findings too close to call: no outcome is certain within the uncertainty."""
        return tuple(
            finding.id
            for finding in self.engine.rules.findings
            if (weights := self._chain.weights(finding.id)) is not None and 1.0 not in weights
        )

    def stops(self) -> tuple[str, ...]:
        """Stop-driving findings that are true, or too close to call."""
        return tuple(
            finding.id
            for finding in self.engine.rules.findings
            if finding.stop_driving and (self._chain.weights(finding.id) or (0.0,))[0] > 0.0
        )

    # -- belief --

    def prior(self) -> Factored:
        """Belief before any finding.

        Causes that can't exist on this vehicle are out, and so is what mending has disproved:
        that the trouble lies in the mended causes alone.
        """
        if self._prior is None:
            prior = self.engine.priors.belief(
                [self.applies(c.id) for c in self.engine.rules.causes]
            )
            self._prior = prior.without(self._places_of(self._mended)) if self._mended else prior
        return self._prior

    def applies(self, cause: str) -> float:
        """The probability that a cause can exist on this vehicle; 1 while that is unknown."""
        root = self.engine.network.applies_root.get(cause)
        truth = UNKNOWN_TRUTH if root is None else self._chain.truth(root)
        return 1.0 if truth == UNKNOWN_TRUTH else truth

    def _places_of(self, causes: Iterable[str]) -> list[int]:
        return sorted(self.engine.effects.index_of[cause] for cause in causes)

    def belief(self) -> Belief:
        """The posterior over none, each single cause and each pair; adds up to 1."""
        if self._belief is None:
            self._belief = self._evidence.posterior(self.prior())
        return self._belief

    def ranking(self) -> Ranking:
        """The causes by probability, mended ones left out; ties keep the order of the files."""
        return ranked(self.belief(), self.engine.names, self._mended)

    def trail(self, cause: str) -> Trail:
        """Why a cause stands where it does; its decibans add up from the prior."""
        return self._explainer.trail(cause, self.prior(), self.belief())

    def basis(self, finding: str) -> Basis | FactBasis:
        """What a finding rests on now: its condition, or the fact that it takes over."""
        return self._explainer.basis_of(self.engine.effects.findings[finding])

    def second_looks(self) -> tuple[SecondLook, ...]:
        """Findings that the rest of the evidence makes very unlikely."""
        return self._explainer.second_looks(self.belief())

    def surprises(self, question: str) -> tuple[SecondLook, ...]:
        """What the answer to a question settles against the expectation of all the others.

        The probability of each such finding's outcome is that without the answer; the least
        likely comes first. A finding that is too close to call, or restates one that the other
        answers settle, is left out. Without an answer: nothing.
        """
        answers = self._chain.answers
        if question not in answers:
            return ()
        weights = {name: self._chain.weights(name) for name, _ in self._evidence.counted()}
        mended = self._mended_before.get(question, frozenset())
        self.take_back(question)
        try:
            looks = list(self._surprises(weights))
        finally:
            changed = self._chain.answer(question, answers[question])
            self._take(changed, (question,), mended)
        return tuple(sorted(looks, key=lambda look: (look.probability, look.finding)))

    def _surprises(self, weights: Mapping[str, Weights | None]) -> Iterator[SecondLook]:
        """Of these findings, the surprising ones, in the present state, which lacks an answer."""
        effects, rest, prior = self.engine.effects, self.belief(), self.prior()
        for name, shares in weights.items():
            if shares is None or 1.0 not in shares or self._evidence.counted_beside(name):
                continue
            outcome = shares.index(1.0)
            mended = self._evidence.mended_before(name)
            given_rest = expected(effects, rest, name, mended)
            if is_surprising(given_rest, expected(effects, prior, name, mended), outcome):
                yield SecondLook(name, given_rest[outcome])

    def turns(self) -> tuple[Turn, ...]:
        """Single findings that would put another cause first, likeliest first."""
        mended = self._places_of(self._mended)
        return self._turning.turns(self.belief(), self._unknown_findings(), mended)

    def upset_by(self, cause: str) -> Upset:
        """The fewest findings that, with other outcomes, would put a cause first."""
        mended = self._places_of(self._mended)
        return self._turning.upset_by(cause, self.belief(), self._unknown_findings(), mended)

    # -- plan --

    def plan(
        self,
        *,
        at: str,
        places: Collection[str] | None = None,
        put_off: Collection[str] = (),
        closed: Collection[str] = (),
    ) -> Plan:
        """What to do next, from the place `at`, within `places` (all by default).

        `put_off` are tests not wanted now, `closed` questions that can't be answered, such as
        those whose gauge is missing. A vehicle that may be unsafe to drive is not driven.
        """
        return self.engine.planner.plan(self._situation(at, places, put_off, closed))

    def choices(
        self,
        plan: Plan,
        *,
        at: str,
        places: Collection[str] | None = None,
        put_off: Collection[str] = (),
        closed: Collection[str] = (),
    ) -> tuple[Choice, ...]:
        """The ways to go on, side by side: the advised one, then by expected minutes.

        `plan` is that of `plan()` for the same place, places, `put_off` and `closed`.
        """
        ranked = self.ranking().causes
        situation = self._situation(at, places, put_off, closed)
        leading = ranked[0].cause if ranked else None
        return choices(self.engine.planner, situation, plan, leading)

    def _situation(
        self,
        at: str,
        places: Collection[str] | None,
        put_off: Collection[str],
        closed: Collection[str],
    ) -> Situation:
        rules = self.engine.rules
        unsafe = bool(self.stops())
        allowed = {
            place.id
            for place in rules.places
            if (places is None or place.id in places) and not (place.driving and unsafe)
        }
        answers = self._chain.answers
        open_questions = frozenset(
            question.id
            for question in rules.questions
            if question.id not in answers
            and question.id not in closed
            and self._ask_truth(question.id) != 0.0
        )

        def missing(way: Way) -> Way | None:
            lacks = frozenset(q for q in way if self._chain.value(q) is UNKNOWN)
            return lacks if lacks <= open_questions else None

        def unread(way: Way) -> Way | None:
            lacks = way - answers.keys()
            return lacks if lacks <= open_questions else None

        mended = self._places_of(self._mended)
        return Situation(
            belief=self.belief().left(mended),
            at_first=self.belief(),
            mended=mended,
            evidence=self._evidence,
            weights=lambda finding: self._chain.weights(finding) or (),
            unknown=self._unknown_findings(),
            unclear=self.close_calls(),
            missing=missing,
            unread=unread,
            open_questions=open_questions,
            askable=frozenset(filter(self.is_asked, open_questions)),
            at=at,
            places=allowed,
            put_off=put_off,
        )

    def findings_on(self, question: str) -> tuple[str, ...]:
        """The findings that an answer to this question can help to settle."""
        return self.engine.planner.findings_on(question)

    def tests_to_settle(self, finding: str) -> tuple[str, ...]:
        """The tests that settle an unknown finding by the fewest questions; () if none can."""
        planner = self.engine.planner
        for way in planner.ways[finding]:
            lacks = [q for q in sorted(way) if self._chain.value(q) is UNKNOWN]
            if all(question in planner.test_of for question in lacks):
                return tuple(dict.fromkeys(planner.test_of[question].id for question in lacks))
        return ()

    def _unknown_findings(self) -> tuple[str, ...]:
        return tuple(
            finding.id
            for finding in self.engine.rules.findings
            if self._chain.weights(finding.id) is None
        )
