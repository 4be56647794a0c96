"""What no example has shown yet: outcomes, items of conditions, causes, each by id and place."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from advisor.engine.chain import Chain
from advisor.engine.network import Network
from advisor.engine.rules import All, AnyOf, ByCondition, Condition, Not
from advisor.rulebook import Rulebook

from .locating import Steps, steps_to
from .naming import UNKNOWN
from .reading import Example
from .running import Result
from .wording import condition_text, outcome_of


@dataclass(frozen=True, slots=True)
class Gap:
    """Something that no example shows; `section` and `id` name the record that has it.

    `missing` are the outcomes never seen, or the item that no example turned on alone.
    """

    section: str
    id: str
    missing: tuple[str, ...]
    path: str
    line: int
    column: int


@dataclass(frozen=True, slots=True)
class Coverage:
    """The gaps, each list in the order of the rulebook."""

    outcomes: tuple[Gap, ...]
    items: tuple[Gap, ...]
    never_first: tuple[Gap, ...]
    no_near_miss: tuple[Gap, ...]


def coverage(rulebook: Rulebook, results: Sequence[Result]) -> Coverage:
    """What these examples leave unshown. Outcomes count in every example, passed or not."""
    chains = [_chain(rulebook, result.example) for result in results]
    return Coverage(
        tuple(_outcomes(rulebook, chains)),
        tuple(_items(rulebook, chains)),
        tuple(_causes(rulebook, results, "first")),
        tuple(_causes(rulebook, results, "near_miss_of")),
    )


def _chain(rulebook: Rulebook, example: Example) -> Chain:
    chain = Chain(rulebook.rules, rulebook.engine.network)
    for question, value in example.values.items():
        chain.answer(question, value)
    return chain


def _outcomes(rulebook: Rulebook, chains: Sequence[Chain]) -> Iterator[Gap]:
    for finding in rulebook.rules.findings:
        seen = {outcome_of(finding.outcomes, chain.weights(finding.id)) for chain in chains}
        missing = tuple(one for one in (*finding.outcomes, UNKNOWN) if one not in seen)
        if missing:
            yield _gap(rulebook, "findings", finding.id, (), missing)


def _causes(rulebook: Rulebook, results: Sequence[Result], field: str) -> Iterator[Gap]:
    for cause in rulebook.rules.causes:
        if not any(result.is_right(field, cause.id) for result in results):
            yield _gap(rulebook, "causes", cause.id, (), ())


def _items(rulebook: Rulebook, chains: Sequence[Chain]) -> Iterator[Gap]:
    """Items of each `all` and `any` (several keys of a mapping are an `all`).

    An item was turned on alone when it was the only false one of an `all`, or the only true one
    of an `any`. Comparisons of one number in one gate count as one item, as the engine has them.
    """
    network = rulebook.engine.network
    for section, name, field, condition in _conditions(rulebook):
        written = getattr(rulebook.items[section, name].model, field)
        for gate in _gates(condition):
            shown = {_turned_on(network, chain, gate) for chain in chains}
            for index, item in enumerate(gate.items):
                if index not in shown:
                    steps = (field, *steps_to(written, item))
                    word = "false" if isinstance(gate, All) else "true"
                    missing = (f"{condition_text(rulebook, item)}, alone {word}",)
                    yield _gap(rulebook, section, name, steps, missing)


def _conditions(rulebook: Rulebook) -> Iterator[tuple[str, str, str, Condition]]:
    for finding in rulebook.rules.findings:
        if isinstance(finding.source, ByCondition):
            yield "findings", finding.id, "when", finding.source.when
    for cause in rulebook.rules.causes:
        if cause.applies_if is not None:
            yield "causes", cause.id, "applies_if", cause.applies_if
    for question in rulebook.rules.questions:
        if question.ask_if is not None:
            yield "questions", question.id, "ask_if", question.ask_if


def _gates(condition: Condition) -> Iterator[All | AnyOf]:
    if isinstance(condition, All | AnyOf):
        yield condition
        for item in condition.items:
            yield from _gates(item)
    elif isinstance(condition, Not):
        yield from _gates(condition.item)


def _turned_on(network: Network, chain: Chain, gate: All | AnyOf) -> int | None:
    """The item that alone decided the gate; none while another one is too close to call."""
    deciding = 0.0 if isinstance(gate, All) else 1.0
    truths = [chain.truth(network.node_of(item)) for item in gate.items]
    if truths.count(deciding) != 1 or any(0.0 < truth < 1.0 for truth in truths):
        return None
    return truths.index(deciding)


def _gap(
    rulebook: Rulebook, section: str, name: str, steps: Steps, missing: tuple[str, ...]
) -> Gap:
    place = rulebook.place_of(section, name, *steps)
    return Gap(section, name, missing, place.path, place.line, place.column)
