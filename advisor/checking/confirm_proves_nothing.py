"""A confirming test must be able to speak for the cause that it is to confirm."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.rulebook import Problem, Rulebook

from .places import Spot
from .reading import behind, sources_of
from .weights import support

CODE = "confirm-proves-nothing"


def check(rulebook: Rulebook) -> Iterator[Problem]:
    """Causes whose confirming test answers nothing that a finding which speaks for them reads."""
    sources = sources_of(rulebook.rules)
    read = {one.id: behind([one.id], sources) for one in rulebook.rules.findings}
    for cause in rulebook.rules.causes:
        if cause.confirm is not None:
            answers = rulebook.tests[cause.confirm].answers
            if not any(
                support(finding, cause.id) > 0.0 and not read[finding.id].isdisjoint(answers)
                for finding in rulebook.rules.findings
            ):
                message = (
                    f'the test "{cause.confirm}" cannot confirm "{cause.id}": '
                    "no finding that speaks for it reads what the test answers"
                )
                hint = "name another test, or add the finding that it is to settle"
                yield Spot(rulebook, "causes", cause.id, ("confirm",)).problem(CODE, message, hint)
