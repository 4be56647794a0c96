"""What an example expects of a vehicle, held against how the vehicle stands."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from advisor.engine.ranking import Ranking
from advisor.report.doubts import CLOSE_RACE

from .models import ExpectModel
from .naming import NONE
from .wording import share

Steps = tuple[str | int, ...]
Pair = tuple[str, str]
RANKED = {
    *("first", "first_three", "not_first", "near_miss_of", "pair"),
    *("too_close_to_call", "at_least", "at_most"),
}  # the fields that look at the ranking


class Standing:
    """How the causes stand: their probabilities in the order of the files, and that of none.

    Causes that cannot exist have no probability, or 0. `likeliest_pair` is asked only when a
    pair is expected.
    """

    def __init__(
        self,
        none: float,
        probabilities: Mapping[str, float],
        likeliest_pair: Callable[[], Pair | None],
    ) -> None:
        self.none = none
        self.probabilities = probabilities
        self.likeliest_pair = likeliest_pair

    @cached_property
    def ordered(self) -> list[str]:
        """The causes that can exist, most probable first; ties keep the order of the files."""
        known = self.probabilities
        return sorted((one for one in known if known[one] > 0.0), key=lambda one: -known[one])

    @cached_property
    def leading(self) -> str:
        """The cause that leads, or none-of-the-listed."""
        first = max(self.probabilities, key=self.probabilities.__getitem__, default=NONE)
        return first if self.probability(first) > self.none else NONE

    def probability(self, name: str) -> float:
        """The probability of a cause, alone or with another, or of none-of-the-listed."""
        return self.none if name == NONE else self.probabilities.get(name, 0.0)

    def is_close(self) -> bool:
        """Whether the report would say that no cause stands out."""
        if self.leading == NONE:
            return True
        first, *others = self.ordered[:2]
        rivals = [self.none, *(self.probabilities[one] for one in others)]
        return self.probabilities[first] < CLOSE_RACE * max(rivals)


def standing(ranking: Ranking) -> Standing:
    """How the causes of a ranking stand."""
    probabilities = {one.cause: one.probability for one in ranking.causes}
    likeliest = ranking.pairs[0].causes if ranking.pairs else None
    return Standing(ranking.none_probability, probabilities, lambda: likeliest)


@dataclass(frozen=True, slots=True)
class Unmet:
    """An expectation that is not met: the field of `expect` that states it, and what came out.

    `causes` and `findings` are those that it is about.
    """

    steps: Steps
    expected: str
    found: str
    causes: tuple[str, ...] = ()
    findings: tuple[str, ...] = ()


def unmet_places(expect: ExpectModel, stands: Standing) -> Iterator[Unmet]:
    """The unmet expectations about the order of the causes and their probabilities."""
    yield from _order(expect, stands)
    yield from _pair(expect, stands)
    close = expect.too_close_to_call
    if close is not None and close != stands.is_close():
        expected = "too close to call" if close else "a clear lead"
        yield _about(stands, ("too_close_to_call",), expected, _rival(stands))
    for field, words, sign in (("at_least", "at least", 1.0), ("at_most", "at most", -1.0)):
        for name, limit in getattr(expect, field).items():
            is_at = stands.probability(name)
            if sign * is_at < sign * limit:
                found = f"{name} at {share(is_at)}"
                yield _about(stands, (field, name), f"{name} {words} {limit:g}", [name], found)


def slack(expect: ExpectModel, stands: Standing) -> float:
    """How far every probability may move, 0 to 1, with no expectation about the ranking changed."""
    known, ordered = stands.probability, stands.ordered
    lead, rival = sorted((stands.none, 0.0, *map(known, ordered[:2])))[:-3:-1]
    spare = [1.0]
    if expect.model_fields_set & {"first", "not_first", "near_miss_of", "too_close_to_call"}:
        spare.append((lead - rival) / 2.0)
    if expect.too_close_to_call is not None and ordered:
        others = [stands.none, *map(known, ordered[1:2])]
        close = (known(ordered[0]) - CLOSE_RACE * other for other in others)
        spare += [abs(one) / (1.0 + CLOSE_RACE) for one in close]
    for name in expect.first_three:
        border = ordered[3:4] if name in ordered[:3] else ordered[2:3]
        spare += [abs(known(name) - known(one)) / 2.0 for one in border]
    for field in (expect.at_least, expect.at_most):
        spare += [abs(known(name) - limit) for name, limit in field.items()]
    return 0.0 if expect.pair is not None else min(spare)


def _order(expect: ExpectModel, stands: Standing) -> Iterator[Unmet]:
    leading = stands.leading
    if expect.first is not None and leading != expect.first:
        yield _about(stands, ("first",), f"first: {expect.first}", [expect.first])
    for name in expect.first_three:
        if name not in stands.ordered[:3]:
            yield _about(stands, ("first_three",), f"{name} in the first three", [name])
    unwanted = dict.fromkeys(expect.not_first, "not_first")
    if expect.near_miss_of is not None:
        unwanted[expect.near_miss_of] = "near_miss_of"
    if leading in unwanted:
        yield _about(stands, (unwanted[leading],), f"{leading} not first", _rival(stands))


def _pair(expect: ExpectModel, stands: Standing) -> Iterator[Unmet]:
    if expect.pair is not None:
        likeliest = stands.likeliest_pair()
        if likeliest is None or set(likeliest) != set(expect.pair):
            found = f"{' and '.join(likeliest)}" if likeliest else "no pair"
            expected = f"pair: {' and '.join(expect.pair)}"
            found = f"{found} as likeliest pair"
            yield _about(stands, ("pair",), expected, expect.pair, found)


def _rival(stands: Standing) -> list[str]:
    """The first cause that doesn't lead."""
    return [one for one in stands.ordered if one != stands.leading][:1]


def _about(
    stands: Standing, steps: Steps, expected: str, concerned: Iterable[str], found: str = ""
) -> Unmet:
    """What is not met about causes; the leading one is always told of."""
    lead = f"{stands.leading} leads at {share(stands.probability(stands.leading))}"
    causes = tuple(dict.fromkeys((*concerned, stands.leading)))
    return Unmet(steps, expected, f"{found}; {lead}" if found else lead, causes)


def unmet_findings(
    expect: ExpectModel, outcome_of: Callable[[str], str], stops: Sequence[str]
) -> Iterator[Unmet]:
    """The unmet expectations about findings, and about those that stop driving.

    `outcome_of` gives a finding's outcome as an example names it.
    """
    for name, expected in expect.findings.items():
        found = outcome_of(name)
        if found != expected:
            told = (f"{name}: {expected}", f"{name}: {found}")
            yield Unmet(("findings", name), *told, findings=(name,))
    if expect.stops is not None and set(stops) != set(expect.stops):
        expected = f"stops: {', '.join(expect.stops) or 'none'}"
        found = f"stops: {', '.join(stops) or 'none'}"
        differing = tuple(sorted(set(stops) ^ set(expect.stops)))
        yield Unmet(("stops",), expected, found, findings=differing)
