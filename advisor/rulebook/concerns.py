"""Checks how the answers to a question read in the concern statement."""

from __future__ import annotations

from .draft import Draft, Item
from .models import ChoiceQuestion, ChoicesQuestion, QuestionModel, YesNoQuestion
from .names import did_you_mean

PLACE = "{answer}"


def check_concern(draft: Draft, item: Item[QuestionModel]) -> None:
    """Note sentences for options that the question hasn't, and one that leaves the answer out."""
    concern = item.model.concern
    if concern is None:
        return
    known = _options(item.model)
    for name in concern.options:
        if name not in known:
            message = f'{item.called} has no option "{name}"'
            loc = ("concern", "options", name)
            draft.complain(item, loc, "unknown-option", message, did_you_mean(name, known))
    is_whole = isinstance(item.model, YesNoQuestion) or (known and concern.options.keys() >= known)
    if PLACE not in concern.says and not is_whole:
        message = f'"says" has no {PLACE}, so that it reads the same whatever is answered'
        hint = f'write it such as "It is worst at {PLACE}"'
        draft.complain(item, ("concern", "says"), "wrong-value", message, hint)


def _options(model: QuestionModel) -> frozenset[str]:
    if isinstance(model, ChoiceQuestion | ChoicesQuestion):
        return frozenset(model.options)
    return frozenset({"no"} if isinstance(model, YesNoQuestion) else ())
