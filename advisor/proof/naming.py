"""Whether what an example expects fits its rulebook: names that exist, and no contradiction."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from advisor.rulebook import Document, Problem, Rulebook, did_you_mean

from .models import ExpectModel

NONE = "none-of-the-listed"
UNKNOWN = "unknown"
TOO_CLOSE = "too-close"

Loc = tuple[str | int, ...]


def name_problems(
    document: Document, loc: Loc, expect: ExpectModel, rulebook: Rulebook
) -> Iterator[Problem]:
    """The problems of what is expected, which stands at `loc`."""
    if not expect.model_fields_set:
        message = "nothing is expected, so the example proves nothing"
        hint = f"known here: {', '.join(ExpectModel.model_fields)}"
        yield document.problem(loc, "missing-field", message, hint)
    for steps, name in _named_causes(expect):
        may_be_none = steps[0] in ("first", "not_first", "at_least", "at_most")
        if name not in rulebook.causes and not (name == NONE and may_be_none):
            known = (*rulebook.causes, NONE) if may_be_none else tuple(rulebook.causes)
            mark = document.position_of((*loc, *steps), key=steps[-1] == name)
            message = f'no cause has the id "{name}"'
            hint = rulebook.instead_of("causes", name, known)
            yield document.problem(mark, "unknown-cause", message, hint)
    yield from _finding_problems(document, loc, expect, rulebook)
    yield from _contradictions(document, loc, expect)


def _named_causes(expect: ExpectModel) -> Iterator[tuple[Loc, str]]:
    for field in ("first", "near_miss_of"):
        if (name := getattr(expect, field)) is not None:
            yield (field,), name
    for field in ("pair", "first_three", "not_first"):
        for index, name in enumerate(getattr(expect, field) or ()):
            yield (field, index), name
    for field in ("at_least", "at_most"):
        for name in getattr(expect, field):
            yield (field, name), name


def _finding_problems(
    document: Document, loc: Loc, expect: ExpectModel, rulebook: Rulebook
) -> Iterator[Problem]:
    findings = rulebook.engine.effects.findings
    for name, outcome in expect.findings.items():
        here = (*loc, "findings", name)
        if name not in findings:
            yield _unknown_finding(document, here, name, findings, rulebook)
            continue
        allowed = (*findings[name].outcomes, UNKNOWN, TOO_CLOSE)
        if outcome not in allowed:
            message = f'the finding "{name}" cannot be "{outcome}"'
            yield document.problem(here, "unknown-option", message, did_you_mean(outcome, allowed))
    for index, name in enumerate(expect.stops or ()):
        here = (*loc, "stops", index)
        stopping = [one for one, finding in findings.items() if finding.stop_driving]
        if name not in findings:
            yield _unknown_finding(document, here, name, stopping, rulebook)
        elif name not in stopping:
            message = f'the finding "{name}" has no "stop_driving", so it never stops anyone'
            yield document.problem(here, "wrong-value", message, did_you_mean(name, stopping))


def _unknown_finding(
    document: Document, loc: Loc, name: str, known: Collection[str], rulebook: Rulebook
) -> Problem:
    mark = document.position_of(loc, key=loc[-1] == name)
    message = f'no finding has the id "{name}"'
    hint = rulebook.instead_of("findings", name, known)
    return document.problem(mark, "unknown-fact", message, hint)


def _contradictions(document: Document, loc: Loc, expect: ExpectModel) -> Iterator[Problem]:
    if expect.first is not None and expect.first in (*expect.not_first, expect.near_miss_of):
        message = f'"{expect.first}" is expected first, and also not first'
        yield document.problem((*loc, "first"), "wrong-value", message)
    if expect.pair is not None and len(set(expect.pair)) == 1:
        message = f'"{expect.pair[0]}" stands twice; a pair is two causes'
        yield document.problem((*loc, "pair"), "wrong-value", message)
    for name, low in expect.at_least.items():
        if low > expect.at_most.get(name, 1.0):
            message = f'"{name}" is expected at {low:g} or more, and also at less'
            yield document.problem((*loc, "at_least", name), "wrong-value", message)
