"""A compiled rulebook: what the engine needs of it, in plain values.

The rulebook package turns YAML into these. All numbers are in SI units, all minutes in minutes.
Ids of questions, computed facts and findings share one space of fact ids. A question and a
computed fact may have the same id: the fact is then both measured and computed.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from .values import Interval, Kind, Value


@dataclass(frozen=True, slots=True)
class Is:
    """True when the fact has this value; for a fact of several choices, when it includes it."""

    fact: str
    value: bool | str


@dataclass(frozen=True, slots=True)
class OneOf:
    """True when the fact is one of the values; for several choices, when it includes one."""

    fact: str
    values: frozenset[str]


@dataclass(frozen=True, slots=True)
class Within:
    """True when the number lies in one of the disjoint intervals."""

    fact: str
    intervals: tuple[Interval, ...]


@dataclass(frozen=True, slots=True)
class Known:
    """True when the fact is known, or, with `known=False`, not known. Never unknown itself."""

    fact: str
    known: bool = True


@dataclass(frozen=True, slots=True)
class All:
    """True when every item is true."""

    items: tuple[Condition, ...]


@dataclass(frozen=True, slots=True)
class AnyOf:
    """True when at least one item is true."""

    items: tuple[Condition, ...]


@dataclass(frozen=True, slots=True)
class Not:
    """True when the item is false."""

    item: Condition


Condition = Is | OneOf | Within | Known | All | AnyOf | Not


class ComputationError(Exception):
    """A computation has no answer for these inputs; `reason` says why, in words for a person."""

    def __init__(self, reason: str) -> None:
        super().__init__(reason)
        self.reason = reason


@dataclass(frozen=True, slots=True)
class Question:
    """One thing asked or measured. It is only asked while `ask_if` is not false."""

    id: str
    kind: Kind
    options: tuple[str, ...] = ()
    ask_if: Condition | None = None


@dataclass(frozen=True, slots=True)
class ComputedFact:
    """A fact worked out by `compute` from the facts named in `inputs` (parameter -> fact id).

    `compute` gets the known inputs by parameter name and gives a value, or raises ComputationError.
    It is called once all inputs but the `optional` ones (parameter names) are known.
    """

    id: str
    kind: Kind
    inputs: Mapping[str, str]
    compute: Callable[[Mapping[str, Value]], Value]
    optional: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class ByCondition:
    """Outcomes of a yes/no finding: "true" and "false", from a condition."""

    when: Condition


@dataclass(frozen=True, slots=True)
class ByChoice:
    """Outcomes of a several-valued finding: the outcome index of each option of a choice fact."""

    fact: str
    outcome_of: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class ByBand:
    """Outcomes of a several-valued finding: bands of a number that fill the line, one each."""

    fact: str
    bands: tuple[Interval, ...]


@dataclass(frozen=True, slots=True)
class Finding:
    """Something that speaks for or against causes, with how often each outcome is seen.

    `usual[k]` is the rate of outcome k on vehicles whose trouble is something else;
    `rates[cause][k]` the rate with that cause. Each adds up to 1, each rate is above 0.
    Outcomes of a yes/no finding are ("true", "false"), in this order.
    Of the findings with the same `observation` only the most telling counts.
    `stop_driving` marks a finding that, when true, makes the vehicle unsafe to drive.
    """

    id: str
    outcomes: tuple[str, ...]
    source: ByCondition | ByChoice | ByBand
    usual: tuple[float, ...]
    rates: Mapping[str, tuple[float, ...]]
    observation: str | None = None
    stop_driving: bool = False


@dataclass(frozen=True, slots=True)
class Cause:
    """A fault that explains the complaint. `commonness` is relative to the other causes (> 0)."""

    id: str
    commonness: float
    repair_minutes: float
    verify_minutes: float
    applies_if: Condition | None = None
    confirm: str | None = None


@dataclass(frozen=True, slots=True)
class Place:
    """Where tests are done; `minutes` is what going there costs once.

    `driving` marks a place where the vehicle is driven: closed once it is unsafe to drive.
    """

    id: str
    minutes: float
    driving: bool = False


@dataclass(frozen=True, slots=True)
class Test:
    """Work in one place that answers questions; `minutes` without the way there."""

    id: str
    place: str
    minutes: float
    questions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Rules:
    """A whole compiled rulebook. The order of each tuple is the order in the files.

    `none_share` is the prior probability that none of the listed causes is the trouble,
    `pair_factor` the prior weight of a pair of causes relative to the product of their shares,
    and `escalation_minutes` what it costs to hand the vehicle on when nothing listed cures it.
    `opening` are the tests that begin every interview.
    """

    questions: tuple[Question, ...]
    computed: tuple[ComputedFact, ...]
    findings: tuple[Finding, ...]
    causes: tuple[Cause, ...]
    places: tuple[Place, ...]
    tests: tuple[Test, ...]
    none_share: float
    pair_factor: float
    escalation_minutes: float
    opening: tuple[str, ...] = field(default=())
