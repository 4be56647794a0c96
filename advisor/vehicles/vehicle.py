"""Made-up vehicles whose answers fit together: hidden faults, and what every question would show.

A vehicle's findings are drawn by their rates with its faults, then answers are drawn that lead to
these findings, and read off with the errors of the gauges. Findings that restate one observation
mostly come out alike, as they would on one vehicle.
"""

from __future__ import annotations

from bisect import bisect
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import accumulate
from random import Random

from advisor.engine.belief import Priors
from advisor.engine.chain import Chain
from advisor.engine.effects import Weights, pair_rates
from advisor.engine.rules import Finding
from advisor.engine.values import UNKNOWN, Kind, Number, Value
from advisor.rulebook import Rulebook

from .absent import Purposes
from .checking import Check
from .groups import Group, Reading, groups_of
from .raking import fitted
from .readings import Dial, answer_text, dials
from .states import Answers, Explorer, States

ALIKE = 0.8  # share of vehicles on which two findings of one observation come out alike
MOST_LAYOUTS = 500  # drawn until the faults can exist on one
MOST_READINGS = 40  # of one group, until what is measured agrees with what is computed


@dataclass(frozen=True, slots=True)
class Vehicle:
    """What is wrong, and the answer to every question that is asked of it, as typed.

    No `faults` means that the trouble is none of the listed causes. A question that is left out
    is not asked on this vehicle, or tells only of causes that cannot exist on it; "dont-know"
    stands where a gauge can show nothing.
    """

    faults: tuple[str, ...]
    answers: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class _Table:
    """Ways of a group of answers to come out: running shares in the order `ways`."""

    shares: Sequence[float]
    ways: Sequence[tuple[Answers, ...]]

    def drawn(self, at: float, rng: Random) -> Answers:
        """The answers at this place between 0 and 1."""
        place = min(bisect(self.shares, at * self.shares[-1]), len(self.ways) - 1)
        answers = self.ways[place]
        return answers[int(rng.random() * len(answers))]


@dataclass(slots=True)
class _Drawing:
    """A vehicle while it is drawn: the texts so far, and where its observations were drawn."""

    faults: tuple[str, ...]
    rng: Random
    texts: dict[str, str] = field(default_factory=dict)
    observed: dict[str, float] = field(default_factory=dict)

    def place_of(self, findings: Sequence[Finding], *, steady: bool) -> float:
        """Where between 0 and 1 a group is drawn: mostly the same place for one observation.

        Not so for a group that is only sometimes asked (not `steady`): what decides on its being
        asked may be of the same observation, and would then choose among its outcomes.
        """
        own, alike = self.rng.random(), self.rng.random()
        observation = next((f.observation for f in findings if f.observation), None)
        if observation is None or not steady:
            return own
        shared = self.observed.setdefault(observation, own)
        return shared if alike < ALIKE else own


class Vehicles:
    """Draws vehicles of a rulebook; what they share is worked out when it is first needed.

    `seen` are answers of example vehicles: numbers that belong together are taken from them.
    """

    def __init__(self, rulebook: Rulebook, seen: Sequence[Mapping[str, Value]] = ()) -> None:
        rules, engine = rulebook.rules, rulebook.engine
        self.rulebook = rulebook
        self._dials = dials(rulebook)
        self._explorer = Explorer(rulebook, self._dials, seen)
        self._chain = Chain(rules, engine.network)
        self._chain_knows: set[str] = set()
        self._read_by_conditions = _read_by_conditions(rulebook)
        self._groups = groups_of(rules, _alike(rulebook))
        self._always = [_if_always_asked(group) for group in self._groups]
        self._checks = {
            place: Check(group.rules(rules))
            for place, group in enumerate(self._groups)
            if len(group.questions) > 1
            and any(question.kind is Kind.NUMBER for question in group.questions)
        }
        self._spoken_of = [frozenset(c for f in g.findings for c in f.rates) for g in self._groups]
        self._layout = _layout(rulebook, self._groups)
        self._purposes = Purposes(rulebook)
        self._states: dict[tuple[int, frozenset[str]], States] = {}
        self._tables: dict[tuple[int, frozenset[str], tuple[str, ...], bool], _Table] = {}
        self._causes = tuple(cause.id for cause in rules.causes)
        self._fault_sets, self._masses = self._prior()

    def _prior(self) -> tuple[list[tuple[str, ...]], list[float]]:
        """None, each cause, each pair, with their running prior masses."""
        belief = Priors(self.rulebook.rules).belief([1.0] * len(self._causes))
        pairs = [(i, j) for i in range(len(self._causes)) for j in range(i + 1, len(self._causes))]
        sets: list[tuple[str, ...]] = [(), *((cause,) for cause in self._causes)]
        sets += [(self._causes[i], self._causes[j]) for i, j in pairs]
        masses = [belief.none, *belief.single, *(belief.pair[i][j] for i, j in pairs)]
        return sets, list(accumulate(masses))

    def seed_text(self, seed: int, number: int) -> str:
        """What seeds a vehicle: the rulebook with its version, the seed, and the number."""
        meta = self.rulebook.meta
        return f"{meta.id} {meta.version} {seed} {number}"

    def faults(self, rng: Random) -> tuple[str, ...]:
        """Faults drawn by the rulebook's prior; () for none of the listed."""
        place = bisect(self._masses, rng.random() * self._masses[-1])
        return self._fault_sets[min(place, len(self._fault_sets) - 1)]

    def vehicle(self, faults: tuple[str, ...], rng: Random) -> Vehicle | None:
        """A vehicle with these faults; None when no vehicle was found on which they can exist."""
        drawing = _Drawing(faults, rng)
        for _ in range(MOST_LAYOUTS):
            drawing.texts.clear()
            drawing.observed.clear()
            self._forget()
            for place in self._layout:
                self._draw(place, drawing)
            if all(self._can_exist(fault) for fault in faults):
                break
        else:
            return None
        for place in range(len(self._groups)):
            if place not in self._layout:
                self._draw(place, drawing)
        shown = drawing.texts.keys() - self._about_nothing()
        order = (question.id for question in self.rulebook.rules.questions)
        return Vehicle(faults, {name: drawing.texts[name] for name in order if name in shown})

    def _about_nothing(self) -> frozenset[str]:
        """The questions about what this vehicle doesn't have; those that say so are none."""
        impossible = {cause for cause in self._causes if not self._can_exist(cause)}
        return self._purposes.without(impossible) - self._read_by_conditions

    def _forget(self) -> None:
        for question in self._chain_knows:
            self._chain.take_back(question)
        self._chain_knows.clear()

    def _can_exist(self, cause: str) -> bool:
        root = self.rulebook.engine.network.applies_root.get(cause)
        return root is None or self._chain.truth(root) != 0.0

    def _draw(self, place: int, drawing: _Drawing) -> None:
        """Draw the answers of one group and read them off."""
        group, rng = self._groups[place], drawing.rng
        always = self._always[place]
        asked = always or frozenset(q.id for q in group.questions if self._is_asked(q.id))
        if not asked:
            return
        states, table = self._table(place, asked, drawing.faults)
        at = drawing.place_of(group.findings, steady=always is not None)
        drawing.texts.update(self._read(place, states, table.drawn(at, rng), rng))
        if asked & self._read_by_conditions:
            self._tell(asked & self._read_by_conditions, drawing.texts)

    def _is_asked(self, question: str) -> bool:
        root = self.rulebook.engine.network.ask_root.get(question)
        return root is None or self._chain.truth(root) > 0.0

    def _tell(self, questions: Iterable[str], texts: Mapping[str, str]) -> None:
        values = {q: self.rulebook.parse_answer(q, texts[q]) for q in questions}
        self._chain.answer_all(values)
        self._chain_knows.update(values)

    def _read(self, place: int, states: States, true: Answers, rng: Random) -> dict[str, str]:
        """The readings of true values, taken again while they show something else than these."""
        facts, dials, check = self.rulebook.facts, self._dials, self._checks.get(place)
        for _ in range(MOST_READINGS):
            read = {
                question: _reading(value, dials.get(question), rng)
                for question, value in zip(states.questions, true, strict=True)
            }
            if check is None or check.agree(states.questions, true, read):
                break
        else:
            read |= {name: UNKNOWN for name in read if name in self.rulebook.computed}
        return {q: answer_text(value, facts[q].kind, dials.get(q)) for q, value in read.items()}

    def _table(
        self, place: int, asked: frozenset[str], faults: tuple[str, ...]
    ) -> tuple[States, _Table]:
        """The states of a group when these questions are asked, and their shares with faults."""
        group = self._groups[place]
        if (place, asked) not in self._states:
            self._states[place, asked] = self._explorer.states(group, asked)
        states = self._states[place, asked]
        spoken_of = tuple(f for f in faults if f in self._spoken_of[place])
        beside = len(faults) > len(spoken_of) > 0
        key = (place, asked, spoken_of, beside)
        if key not in self._tables:
            findings = [f for f in group.findings if f.id in states.findings]
            self._tables[key] = _table(states, findings, spoken_of, beside=beside)
        return states, self._tables[key]


def _if_always_asked(group: Group) -> frozenset[str] | None:
    """The questions of a group none of which has a condition; None when one has."""
    if any(question.ask_if is not None for question in group.questions):
        return None
    return frozenset(question.id for question in group.questions)


def _reading(value: Value, dial: Dial | None, rng: Random) -> Value:
    """What is read of a true value; UNKNOWN when the gauge can't show it."""
    if not isinstance(value, Number) or dial is None:
        return value
    return dial.reading(value.value, rng) or UNKNOWN


def rates_with(finding: Finding, faults: Sequence[str], *, beside: bool = False) -> Weights:
    """The outcome rates of a finding with these faults, at most two; the usual ones with none.

    `beside` says that there is another fault too, of which the finding says nothing.
    """
    columns = [finding.rates.get(fault, finding.usual) for fault in faults]
    if not columns:
        return finding.usual
    if len(columns) == 1 and not beside:
        return columns[0]
    return pair_rates(finding, columns[0], columns[1] if len(columns) > 1 else finding.usual)


def _table(
    states: States, findings: Sequence[Finding], faults: Sequence[str], *, beside: bool
) -> _Table:
    """The shares of the ways, those that point most to the faults first, then the rarest."""
    ways = list(states.answers_of)
    shares = fitted(ways, [rates_with(f, faults, beside=beside) for f in findings])
    usual = fitted(ways, [f.usual for f in findings]) if faults else shares
    points = [a / b if b > 0.0 else 0.0 for a, b in zip(shares, usual, strict=True)]
    order = sorted(range(len(ways)), key=lambda k: (-round(points[k], 9), shares[k], k))
    return _Table(
        list(accumulate(shares[k] for k in order)), [states.answers_of[ways[k]] for k in order]
    )


def _read_by_conditions(rulebook: Rulebook) -> frozenset[str]:
    """The questions on which it depends what is asked and what can exist."""
    reading = Reading(rulebook.rules)
    conditions = [question.ask_if for question in rulebook.rules.questions]
    conditions += [cause.applies_if for cause in rulebook.rules.causes]
    return frozenset().union(*map(reading.behind, conditions))


def _layout(rulebook: Rulebook, groups: Sequence[Group]) -> tuple[int, ...]:
    """The groups that decide whether a cause can exist, and those that decide about these."""
    reading = Reading(rulebook.rules)
    asked_by = {question.id: question.ask_if for question in rulebook.rules.questions}
    wanted: set[str] = set()
    for cause in rulebook.rules.causes:
        wanted |= reading.behind(cause.applies_if)
    chosen: list[int] = []
    for place in reversed(range(len(groups))):
        names = {question.id for question in groups[place].questions}
        if names & wanted:
            chosen.append(place)
            wanted |= frozenset().union(*(reading.behind(asked_by[name]) for name in names))
    return tuple(reversed(chosen))


def _alike(rulebook: Rulebook) -> list[list[str]]:
    """The measures of one joint's two axes: they belong together, though no finding says so."""
    together = []
    for cause in rulebook.causes.values():
        rings = cause.remedy.rings
        if rings is not None:
            facts = [name for axis in rings.axes for name in (axis.span, axis.width) if name]
            together.append([name for name in facts if name in rulebook.questions])
    return together
