"""The mutated conditions of a rulebook in one network, so that a vehicle needs one chain for all.

A condition may be read by others: a finding that reads a mutated finding, or a cause's
`applies_if` that does, is mutated along with it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from advisor.engine.belief import Factored, Priors
from advisor.engine.chain import Chain, Weights
from advisor.engine.network import Network, facts_of, facts_read
from advisor.engine.rules import ByCondition, Condition, Finding, Rules
from advisor.engine.values import Value

from .conditions import renamed
from .mutants import Mutant, NewApplies, NewFinding, NewRates
from .strengths import Ratios, ratios

ALWAYS = ""  # stands for the condition of a cause that can exist on every vehicle
_NO_RATES = (0.5, 0.5)


@dataclass(frozen=True, slots=True)
class Stand:
    """What a mutant puts in another's stead: its own names, by finding and by cause."""

    findings: Mapping[str, str]
    applies: Mapping[str, str]


class Bench:
    """A rulebook's rules with those of its mutants beside them, and their priors.

    `order` is the place of each finding in the files; `companions` are the others that restate
    its observation.
    """

    def __init__(self, rules: Rules, mutants: Iterable[Mutant]) -> None:
        self.rules = rules
        self.order = {finding.id: place for place, finding in enumerate(rules.findings)}
        self.companions = {one.id: _companions(rules, one) for one in rules.findings}
        self._added: list[Finding] = []
        self._applies = {
            cause.id: self._condition(f"applies {cause.id}", cause.applies_if)
            for cause in rules.causes
        }
        self.stands: dict[Mutant, Stand] = {}
        for number, mutant in enumerate(mutants):
            stand = self._stand(mutant, number)
            if stand is not None:
                self.stands[mutant] = stand
        whole = replace(rules, findings=(*rules.findings, *self._added))
        self._blank = Chain(whole, Network(whole))
        self._ratios: dict[tuple[int, Weights], Ratios] = {}
        self._priors: dict[tuple[tuple[str, float] | None, tuple[float, ...]], Factored] = {}

    def chain(self, answers: Mapping[str, Value]) -> Chain:
        """The chain of a vehicle, in which the names of all stands are findings."""
        chain = self._blank.copy()
        for question, value in answers.items():
            chain.answer(question, value)
        return chain

    def applies(self, chain: Chain, stand: Stand | None = None) -> tuple[float, ...]:
        """For each cause the probability that it can exist; 1 while that is unknown."""
        names = self._applies if stand is None else {**self._applies, **stand.applies}
        return tuple((chain.weights(name) or (1.0,))[0] for name in names.values())

    def prior(
        self, applies: tuple[float, ...], commonness: tuple[str, float] | None = None
    ) -> Factored:
        """The prior of vehicles like this; `commonness` is that of one mutated cause."""
        key = (commonness, applies)
        if key not in self._priors:
            rules = self.rules if commonness is None else _with_commonness(self.rules, *commonness)
            self._priors[key] = Priors(rules).belief(applies)
        return self._priors[key]

    def ratios(self, change: NewRates, weights: Weights) -> Ratios:
        """What new rates do, when the finding's outcomes have these weights."""
        key = (id(change), weights)
        if key not in self._ratios:
            self._ratios[key] = ratios(change.finding, change.cause, change.rates, weights)
        return self._ratios[key]

    def _stand(self, mutant: Mutant, number: int) -> Stand | None:
        change = mutant.change
        if isinstance(change, NewApplies):
            name = self._condition(f"{change.cause} {number}", change.condition)
            return Stand({}, {change.cause: name})
        if not isinstance(change, NewFinding):
            return None
        names = {mutant.id: f"{mutant.id} {number}"}
        self._added.append(replace(change.finding, id=names[mutant.id]))
        for reader in _readers(self.rules, mutant.id):
            assert isinstance(reader.source, ByCondition)
            names[reader.id] = f"{reader.id} {number}"
            when = renamed(reader.source.when, names)
            self._added.append(replace(reader, id=names[reader.id], source=ByCondition(when)))
        applies = {
            cause.id: self._condition(f"{cause.id} {number}", renamed(cause.applies_if, names))
            for cause in self.rules.causes
            if cause.applies_if is not None and facts_read(cause.applies_if) & names.keys()
        }
        return Stand(names, applies)

    def _condition(self, name: str, condition: Condition | None) -> str:
        """Put a condition on the bench as a finding that says nothing."""
        if condition is None:
            return ALWAYS
        source = ByCondition(condition)
        self._added.append(Finding(name, ("true", "false"), source, _NO_RATES, {}))
        return name


def _companions(rules: Rules, finding: Finding) -> tuple[str, ...]:
    if finding.observation is None:
        return ()
    same = (one.id for one in rules.findings if one.observation == finding.observation)
    return tuple(one for one in same if one != finding.id)


def _readers(rules: Rules, finding: str) -> Iterator[Finding]:
    """The findings that read this one, or one that does, each after what it reads."""
    read, left = {finding}, list(rules.findings)
    while found := [one for one in left if facts_of(one) & read]:
        yield from found
        read |= {one.id for one in found}
        left = [one for one in left if one not in found]


def _with_commonness(rules: Rules, cause: str, commonness: float) -> Rules:
    causes = (
        replace(one, commonness=commonness) if one.id == cause else one for one in rules.causes
    )
    return replace(rules, causes=tuple(causes))
