"""Running examples: what came out of each, and which expectations it did not meet."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from advisor.engine.diagnosis import Diagnosis, Ranking
from advisor.report.doubts import CLOSE_RACE
from advisor.rulebook import Rulebook

from .naming import NONE
from .reading import Example, Loc
from .trail import cause_trail, finding_trail
from .wording import outcome_of, share


@dataclass(frozen=True, slots=True)
class Failure:
    """One expectation that was not met, with its place.

    `trail` holds the lines of each cause or finding that the expectation is about, and of the
    leading cause.
    """

    line: int
    column: int
    expected: str
    found: str
    trail: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Result:
    """One example that was run; it passed when there is no failure."""

    example: Example
    diagnosis: Diagnosis
    ranking: Ranking
    failures: tuple[Failure, ...]

    @property
    def leading(self) -> str:
        """The cause that leads, or none-of-the-listed."""
        return leading(self.ranking)

    @property
    def is_known_gap(self) -> bool:
        """Whether it failed, as is written down in the example."""
        return bool(self.failures) and self.example.model.known_gap is not None

    @property
    def is_closed_gap(self) -> bool:
        """Whether it passed although it is written down that it fails."""
        return not self.failures and self.example.model.known_gap is not None

    def is_right(self, field: str, cause: str) -> bool:
        """Whether the example passed and names the cause in this field."""
        return not self.failures and getattr(self.example.model.expect, field) == cause


def leading(ranking: Ranking) -> str:
    """The cause that leads, or none-of-the-listed."""
    return NONE if ranking.none_leads else ranking.causes[0].cause


def first_three(ranking: Ranking) -> tuple[str, ...]:
    """The three most probable causes, as the ranking shows them."""
    return tuple(one.cause for one in ranking.causes[:3])


def probability(ranking: Ranking, name: str) -> float:
    """The probability of a cause, alone or with another, or of none-of-the-listed."""
    if name == NONE:
        return ranking.none_probability
    return next((one.probability for one in ranking.causes if one.cause == name), 0.0)


def run_example(rulebook: Rulebook, example: Example) -> Result:
    """Give the example's answers to a fresh diagnosis and look at what was expected."""
    diagnosis = Diagnosis(rulebook.engine)
    for question, value in example.values.items():
        diagnosis.answer(question, value)
    ranking = diagnosis.ranking()
    failures = _Check(rulebook, example, diagnosis, ranking).failures()
    in_order = tuple(sorted(failures, key=lambda failure: (failure.line, failure.column)))
    return Result(example, diagnosis, ranking, in_order)


class _Check:
    def __init__(
        self, rulebook: Rulebook, example: Example, diagnosis: Diagnosis, ranking: Ranking
    ) -> None:
        self._rulebook = rulebook
        self._example = example
        self._expect = example.model.expect
        self._diagnosis = diagnosis
        self._ranking = ranking
        self._leading = leading(ranking)

    def failures(self) -> Iterator[Failure]:
        yield from self._places()
        yield from self._probabilities()
        yield from self._findings()

    def _places(self) -> Iterator[Failure]:
        expect, ranking = self._expect, self._ranking
        if expect.first is not None and self._leading != expect.first:
            yield self._causes(("first",), f"first: {expect.first}", [expect.first])
        for name in expect.first_three:
            if name not in first_three(ranking):
                yield self._causes(("first_three",), f"{name} in the first three", [name])
        unwanted = dict.fromkeys(expect.not_first, ("not_first",))
        if expect.near_miss_of is not None:
            unwanted[expect.near_miss_of] = ("near_miss_of",)
        if self._leading in unwanted:
            steps = unwanted[self._leading]
            yield self._causes(steps, f"{self._leading} not first", self._others())
        if expect.pair is not None:
            pairs = [frozenset(pair.causes) for pair in ranking.pairs]
            if not pairs or pairs[0] != frozenset(expect.pair):
                found = " and ".join(ranking.pairs[0].causes) if pairs else "no pair"
                expected = f"pair: {' and '.join(expect.pair)}"
                yield self._causes(("pair",), expected, expect.pair, f"{found} as likeliest pair")
        close = self._is_close()
        if expect.too_close_to_call is not None and expect.too_close_to_call != close:
            expected = "too close to call" if expect.too_close_to_call else "a clear lead"
            yield self._causes(("too_close_to_call",), expected, self._others())

    def _is_close(self) -> bool:
        """Whether the report would say that no cause stands out."""
        if self._leading == NONE:
            return True
        first, *others = self._ranking.causes
        rivals = [self._ranking.none_probability, *(one.probability for one in others[:1])]
        return first.probability < CLOSE_RACE * max(rivals)

    def _others(self) -> list[str]:
        """The first cause that doesn't lead."""
        return [one.cause for one in self._ranking.causes if one.cause != self._leading][:1]

    def _probabilities(self) -> Iterator[Failure]:
        for field, words, sign in (("at_least", "at least", 1.0), ("at_most", "at most", -1.0)):
            for name, limit in getattr(self._expect, field).items():
                is_at = probability(self._ranking, name)
                if sign * is_at < sign * limit:
                    found = f"{name} at {share(is_at)}"
                    yield self._causes((field, name), f"{name} {words} {limit:g}", [name], found)

    def _causes(
        self, steps: Loc, expected: str, concerned: Iterable[str], found: str = ""
    ) -> Failure:
        """A failure about causes, with the trails of those concerned and of the leading one."""
        lead = f"{self._leading} leads at {share(probability(self._ranking, self._leading))}"
        names = dict.fromkeys((*concerned, self._leading))
        trail = map(self._cause_trail, names)
        return self._failure(steps, expected, f"{found}; {lead}" if found else lead, trail)

    def _cause_trail(self, name: str) -> Iterable[str]:
        if name == NONE:
            return (f"{NONE}: probability {share(self._ranking.none_probability)}",)
        return cause_trail(self._rulebook, self._diagnosis, name)

    def _findings(self) -> Iterator[Failure]:
        findings = self._rulebook.engine.effects.findings
        for name, expected in self._expect.findings.items():
            found = outcome_of(findings[name].outcomes, self._diagnosis.weights(name))
            if found != expected:
                trail = finding_trail(self._rulebook, self._diagnosis, name)
                yield self._failure(
                    ("findings", name), f"{name}: {expected}", f"{name}: {found}", [trail]
                )
        if self._expect.stops is not None:
            raised = self._diagnosis.stops()
            if set(raised) != set(self._expect.stops):
                differing = sorted(set(raised) ^ set(self._expect.stops))
                trails = [
                    finding_trail(self._rulebook, self._diagnosis, name) for name in differing
                ]
                expected = f"stops: {', '.join(self._expect.stops) or 'none'}"
                found = f"stops: {', '.join(raised) or 'none'}"
                yield self._failure(("stops",), expected, found, trails)

    def _failure(
        self, steps: Loc, expected: str, found: str, trail: Iterable[Iterable[str]]
    ) -> Failure:
        mark = self._example.mark("expect", *steps)
        return Failure(mark.line, mark.column, expected, found, tuple(map(tuple, trail)))
