"""One vehicle of an example, on which mutants are tried: does the example notice?"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from enum import Enum
from itertools import combinations

from advisor.engine.belief import Belief
from advisor.engine.effects import Effect, Rates, Weights
from advisor.engine.evidence import Evidence
from advisor.rulebook import Rulebook

from ..expecting import RANKED, Pair, Standing, slack, unmet_findings, unmet_places
from ..reading import Example
from ..wording import outcome_of
from .bench import Bench
from .mutants import Mutant, NewCommonness, NewRates, NoObservation, NoStop, with_rates
from .strengths import Ratios, spread

# A change of one cause's mass by a part x of the whole, x up to a half, moves no probability by
# more than 4 x: by x itself, and by as much for the new whole, which is half the old or more.
SAFE_PART = 0.25
Rows = Sequence[Sequence[float]]


class Outcome(Enum):
    """What came of trying a mutant: nothing changed, something did, or the example noticed."""

    UNTOUCHED = 0
    UNNOTICED = 1
    NOTICED = 2


class Trial:
    """The vehicle of one example, worked out once; each mutant then changes it a little.

    `weights` are those of the known findings. `is_sound` says whether the example comes out as
    it should without any mutant: passing, or failing by a known gap.
    """

    def __init__(self, rulebook: Rulebook, bench: Bench, example: Example) -> None:
        self._effects = rulebook.engine.effects
        self._ids = [cause.id for cause in rulebook.rules.causes]
        self._expect = example.model.expect
        self._is_gap = example.model.known_gap is not None
        self._looks_at_ranking = bool(self._expect.model_fields_set & RANKED)
        self._bench = bench
        self._chain = bench.chain(example.values)
        self._evidence = Evidence(rulebook.rules, self._effects)
        self.weights: dict[str, Weights] = {}
        for finding in rulebook.rules.findings:
            if (weights := self._chain.weights(finding.id)) is not None:
                self.weights[finding.id] = weights
                self._evidence.set(finding.id, weights)
        self._applies = bench.applies(self._chain)
        self._prior = bench.prior(self._applies)
        self._belief = self._evidence.posterior(self._prior)
        self._marginals = self._belief.marginals()
        self._slack = slack(self._expect, self._as_it_is())
        self.is_sound = self._fails(self._as_it_is(), self.weights) == self._is_gap

    def tried(self, mutant: Mutant) -> Outcome:
        """What comes of this mutant on this vehicle."""
        match mutant.change:
            case NewRates() as change:
                return self._new_rates(change)
            case NewCommonness(cause, commonness):
                return self._new_commonness(self._effects.index_of[cause], (cause, commonness))
            case NoStop(finding):
                return self._no_stop(finding)
            case NoObservation(finding):
                return self._no_observation(finding)
            case _:
                return self._new_conditions(mutant)

    # -- what each kind of mutant changes --

    def _new_rates(self, change: NewRates) -> Outcome:
        name = change.finding.id
        weights = self.weights.get(name)
        if weights is None or not self._belief.single[self._effects.index_of[change.cause]]:
            return Outcome.UNTOUCHED
        counted = self._evidence.counted_beside(name)
        assert counted is not None
        others = self._beside(name)
        if others:
            finding = with_rates(change)
            telling = {one: self._telling(one) for one in others}
            telling[name] = (spread(finding, weights), -self._bench.order[name])
            best = max(telling, key=telling.__getitem__)
            if best != counted[0]:
                mutated = Rates(finding, self._effects.index_of).effect(weights)
                effect = mutated if best == name else self._effect(best)
                return self._after((counted[1].undone(), effect))
        if counted[0] != name:
            return Outcome.UNTOUCHED
        by = self._bench.ratios(change, weights)
        most = self._marginals[self._effects.index_of[change.cause]] * by.furthest
        if not self._looks_at_ranking or most < SAFE_PART * self._slack:
            return UNNOTICED
        return self._told(self._scaled(change.cause, by))

    def _new_commonness(self, place: int, commonness: tuple[str, float]) -> Outcome:
        if not self._belief.single[place]:
            return Outcome.UNTOUCHED
        if not self._looks_at_ranking:
            return UNNOTICED
        return self._told(self._reweighed(place, self._bench.prior(self._applies, commonness)))

    def _no_stop(self, finding: str) -> Outcome:
        if not self.weights.get(finding, (0.0,))[0]:
            return Outcome.UNTOUCHED
        return self._told(self._as_it_is(), without_stop=finding)

    def _no_observation(self, finding: str) -> Outcome:
        counted = self._evidence.counted_beside(finding)
        if finding not in self.weights or counted is None or not (rest := self._beside(finding)):
            return Outcome.UNTOUCHED
        if counted[0] != finding:
            return self._after((self._effect(finding),))
        return self._after((self._effect(max(rest, key=self._telling)),))

    def _new_conditions(self, mutant: Mutant) -> Outcome:
        stand = self._bench.stands[mutant]
        changed = {
            name: now
            for name, other in stand.findings.items()
            if (now := self._chain.weights(other)) != self.weights.get(name)
        }
        applies = self._bench.applies(self._chain, stand) if stand.applies else self._applies
        if not changed and applies == self._applies:
            return Outcome.UNTOUCHED
        together: dict[str, Weights | None] = {**self.weights, **changed}
        weights = {name: now for name, now in together.items() if now is not None}
        if not self._looks_at_ranking:
            return self._told(self._as_it_is(), weights)
        for name, now in changed.items():
            self._evidence.set(name, now)
        belief = self._evidence.posterior(self._bench.prior(applies))
        for name in changed:
            self._evidence.set(name, self.weights.get(name))
        return self._told(self._stands(belief), weights)

    def _beside(self, finding: str) -> list[str]:
        """The other known findings that restate its observation."""
        return [one for one in self._bench.companions[finding] if one in self.weights]

    def _effect(self, finding: str) -> Effect:
        return self._effects.weighted(finding, self.weights[finding])

    def _telling(self, finding: str) -> tuple[float, int]:
        """How telling a known finding is; of equals the first in the files counts."""
        return self._effect(finding).spread, -self._bench.order[finding]

    def _after(self, effects: Sequence[Effect]) -> Outcome:
        belief = self._belief
        for effect in effects:
            belief = belief.after(effect)
        return self._told(self._stands(belief))

    # -- how the causes stand then --

    def _scaled(self, cause: str, by: Ratios) -> Standing:
        """The causes when what holds one of them is scaled, and all the rest keeps its mass."""
        place = self._effects.index_of[cause]
        before = self._belief.pair[place]
        row = [mass * by.silent for mass in before]
        for other, ratio in by.beside:
            there = self._effects.index_of[other]
            row[there] = before[there] * ratio
        masses = [m + now - was for m, now, was in zip(self._marginals, row, before, strict=True)]
        masses[place] = self._belief.single[place] * by.alone + sum(row)
        whole = 1.0 + masses[place] - self._marginals[place]

        def pair() -> Pair | None:
            rows = [[*one] for one in self._belief.pair]
            for there, mass in enumerate(row):
                rows[there][place] = rows[place][there] = mass
            return likeliest_pair(rows, self._ids)

        probabilities = [mass / whole for mass in masses]
        return Standing(
            self._belief.none / whole, dict(zip(self._ids, probabilities, strict=True)), pair
        )

    def _reweighed(self, place: int, prior: Belief) -> Standing:
        """The causes under a prior in which one cause's share is another.

        All masses that do not hold it are then scaled alike, and so are all that do.
        """
        other = next((i for i, m in enumerate(self._prior.single) if m and i != place), place)
        third = next(
            (i for i, m in enumerate(self._prior.single) if m and i not in (place, other)), other
        )
        alone = _ratio(prior.single[other], self._prior.single[other])
        own = _ratio(prior.single[place], self._prior.single[place])
        both = _ratio(prior.pair[other][third], self._prior.pair[other][third])
        held = _ratio(prior.pair[place][other], self._prior.pair[place][other])
        belief = self._belief
        masses = [
            alone * single + both * (total - single - mass) + held * mass
            for single, total, mass in zip(
                belief.single, self._marginals, belief.pair[place], strict=True
            )
        ]
        row = held * sum(belief.pair[place])
        masses[place] = own * belief.single[place] + row
        singles = alone * (sum(belief.single) - belief.single[place]) + masses[place] - row
        whole = belief.none + singles + 0.5 * (sum(masses) - singles)
        probabilities = [mass / whole for mass in masses]

        def pair() -> Pair | None:
            rows = [[both * mass for mass in one] for one in belief.pair]
            for there, mass in enumerate(belief.pair[place]):
                rows[there][place] = rows[place][there] = held * mass
            return likeliest_pair(rows, self._ids)

        none = belief.none * _ratio(prior.none, self._prior.none) / whole
        return Standing(none, dict(zip(self._ids, probabilities, strict=True)), pair)

    def _as_it_is(self) -> Standing:
        return self._stands(self._belief)

    def _stands(self, belief: Belief) -> Standing:
        whole = belief.total
        masses = (mass / whole for mass in belief.marginals())
        return Standing(
            belief.none / whole,
            dict(zip(self._ids, masses, strict=True)),
            lambda: likeliest_pair(belief.pair, self._ids),
        )

    # -- whether the example notices --

    def _told(
        self, stands: Standing, weights: Mapping[str, Weights] | None = None, without_stop: str = ""
    ) -> Outcome:
        known = self.weights if weights is None else weights
        is_other = self._fails(stands, known, without_stop) != self._is_gap
        return Outcome.NOTICED if is_other else UNNOTICED

    def _fails(
        self, stands: Standing, weights: Mapping[str, Weights], without_stop: str = ""
    ) -> bool:
        """Whether some expectation of the example is not met."""
        findings = self._effects.findings

        def outcome(name: str) -> str:
            return outcome_of(findings[name].outcomes, weights.get(name))

        stops = [
            name
            for name, now in weights.items()
            if findings[name].stop_driving and now[0] > 0.0 and name != without_stop
        ]
        found = next(unmet_findings(self._expect, outcome, stops), None)
        return found is not None or next(unmet_places(self._expect, stands), None) is not None


UNNOTICED = Outcome.UNNOTICED


def _ratio(now: float, before: float) -> float:
    return now / before if before else 1.0


def likeliest_pair(rows: Rows, ids: Sequence[str]) -> Pair | None:
    """The pair of the greatest mass, the first of equals; None when no pair has any."""
    best = max(combinations(range(len(ids)), 2), key=lambda ij: rows[ij[0]][ij[1]], default=None)
    if best is None or not rows[best[0]][best[1]]:
        return None
    return ids[best[0]], ids[best[1]]
