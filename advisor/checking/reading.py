"""Which facts read which: who hangs on whom in a rulebook."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from advisor.engine.rules import All, AnyOf, ByCondition, Condition, Finding, Not, Rules
from advisor.rulebook import Rulebook


def facts_of(condition: Condition | None) -> frozenset[str]:
    """The facts that a condition reads."""
    match condition:
        case None:
            return frozenset()
        case All(items) | AnyOf(items):
            return frozenset().union(*map(facts_of, items))
        case Not(item):
            return facts_of(item)
        case _:
            return frozenset({condition.fact})


def facts_of_finding(finding: Finding) -> frozenset[str]:
    """The facts that a finding reads."""
    source = finding.source
    return facts_of(source.when) if isinstance(source, ByCondition) else frozenset({source.fact})


def sources_of(rules: Rules) -> Mapping[str, frozenset[str]]:
    """For each finding and each computed fact, the facts that it reads."""
    sources = {fact.id: frozenset(fact.inputs.values()) for fact in rules.computed}
    return sources | {finding.id: facts_of_finding(finding) for finding in rules.findings}


def behind(facts: Iterable[str], sources: Mapping[str, frozenset[str]]) -> frozenset[str]:
    """These facts and all that they hang on."""
    found: set[str] = set()
    left = list(facts)
    while left:
        fact = left.pop()
        if fact not in found:
            found.add(fact)
            left.extend(sources.get(fact, ()))
    return frozenset(found)


def facts_of_cures(rulebook: Rulebook) -> frozenset[str]:
    """The facts that the remedies show or choose rings by."""
    return frozenset().union(*map(rulebook.facts_of_cure, rulebook.causes))


def useful_facts(rulebook: Rulebook) -> frozenset[str]:
    """The facts that in the end reach the rates of a finding, a cause's condition or a cure.

    What a question's `ask_if` reads is useful when the question is.
    """
    rules = rulebook.rules
    asking = {one.id: facts_of(one.ask_if) for one in rules.questions}
    sources = dict(sources_of(rules))
    for question, facts in asking.items():
        sources[question] = sources.get(question, frozenset()) | facts
    ends = {one.id for one in rules.findings if one.rates or one.stop_driving}
    ends |= facts_of_cures(rulebook)
    return behind(ends.union(*(facts_of(cause.applies_if) for cause in rules.causes)), sources)


def facts_read(rulebook: Rulebook) -> frozenset[str]:
    """The facts that anything in the rulebook reads."""
    rules = rulebook.rules
    read = facts_of_cures(rulebook).union(*sources_of(rules).values())
    conditions = [
        *(one.ask_if for one in rules.questions),
        *(one.applies_if for one in rules.causes),
    ]
    return read.union(*map(facts_of, conditions))


def answers_behind(rules: Rules) -> dict[str, frozenset[str]]:
    """What each finding reads; a finding that it reads stands for the facts of that one."""
    findings = {one.id: facts_of_finding(one) for one in rules.findings}

    def asked(facts: frozenset[str]) -> frozenset[str]:
        parts = (asked(findings[one]) if one in findings else {one} for one in facts)
        return frozenset().union(*parts)

    return {name: asked(facts) for name, facts in findings.items()}


def causes_of_both(rulebook: Rulebook, first: Finding, second: Finding) -> list[str]:
    """The causes of which both speak, as evidence that is counted for each."""
    if first.observation is not None and first.observation == second.observation:
        return []
    both = first.rates.keys() & second.rates.keys()
    return [cause for cause in rulebook.causes if cause in both]
