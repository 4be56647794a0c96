"""What a repair is about: the questions whose answers it may change, and that prove it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from advisor.rulebook import Rulebook


def questions_touched(rulebook: Rulebook, causes: Iterable[str]) -> tuple[str, ...]:
    """The questions whose answers mending these causes may change.

    They are those of the test that confirms the cause, and the sizes that its rings hang on.
    """
    touched = (q for cause in causes for q in _touched(rulebook, cause))
    return tuple(dict.fromkeys(touched))


def questions_of_proof(
    rulebook: Rulebook, causes: Iterable[str], answered: Iterable[str]
) -> tuple[str, ...]:
    """The questions to ask again after the work, to prove the cure.

    They are those of the test that confirms the cause, and of all that the work touches or the
    cure shows those that were answered before, so that both can be compared.
    """
    known = set(answered)
    found: dict[str, None] = {}
    for cause in causes:
        model = rulebook.causes[cause]
        shown = (q for fact in model.remedy.shows for q in _inputs(rulebook, fact))
        found |= dict.fromkeys(rulebook.tests[model.confirm].answers if model.confirm else ())
        found |= dict.fromkeys(q for q in (*_touched(rulebook, cause), *shown) if q in known)
    return tuple(found)


def _touched(rulebook: Rulebook, cause: str) -> Iterator[str]:
    model = rulebook.causes[cause]
    if model.confirm is not None:
        yield from rulebook.tests[model.confirm].answers
    for axis in model.remedy.rings.axes if model.remedy.rings else ():
        for fact in (axis.span, axis.width, axis.new_width):
            if fact is not None:
                yield from _inputs(rulebook, fact)


def _inputs(rulebook: Rulebook, fact: str) -> Iterator[str]:
    """The questions that a fact hangs on; a question hangs on itself."""
    if fact in rulebook.questions:
        yield fact
    if fact in rulebook.computed:
        for inner in rulebook.computed[fact].inputs.values():
            yield from _inputs(rulebook, inner)
