"""How an answer reads in the concern statement is checked when the rulebook is loaded."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.rulebook import LoadError, load
from tests.helpers_rulebook import small_rulebook

OPTIONS = "options: {floor: In the floor, heard: It is only heard}"
PLACED = "\n    place: desk\n    minutes: 1\n"


def question(kind: str, concern: str) -> str:
    return (
        "questions:\n  extra:\n    ask: What else?\n    why: It tells.\n"
        f"    kind: {kind}\n    concern: {concern}{PLACED}"
    )


def loaded(tmp_path: Path, text: str) -> None:
    folder = small_rulebook(tmp_path)
    (folder / "z-extra.yaml").write_text(text, encoding="utf-8")
    load(folder)


@pytest.mark.parametrize(
    ("kind", "concern", "code", "found"),
    [
        (
            f"choice\n    {OPTIONS}",
            '{about: where, says: "Felt {answer}", options: {herd: Heard}}',
            "unknown-option",
            ("Heard", 'did you mean "heard"?'),
        ),
        (
            f"choice\n    {OPTIONS}",
            "{about: where, says: It is felt, options: {heard: Heard}}",
            "wrong-value",
            ("It is felt,", 'write it such as "It is worst at {answer}"'),
        ),
        (
            "yes-no",
            '{about: load, says: It tows, options: {"yes": x}}',
            "unknown-option",
            ("x}", 'known here: "no"'),
        ),
        ("text", "{about: work, says: Something}", "wrong-value", ("Something", "{answer}")),
    ],
    ids=["misspelt option", "answer left out", "yes of a yes-no", "text left out"],
)
def test_sentence_that_does_not_fit_the_question_is_refused(
    tmp_path: Path, kind: str, concern: str, code: str, found: tuple[str, str]
) -> None:
    at, reason = found
    text = question(kind, concern)
    with pytest.raises(LoadError) as caught:
        loaded(tmp_path, text)
    (problem,) = (one for one in caught.value.problems if one.code != "unused")
    assert problem.code == code
    assert text.splitlines()[problem.line - 1][problem.column - 1 :].startswith(at)
    assert reason in str(problem)


@pytest.mark.parametrize(
    ("kind", "concern"),
    [
        (f"choice\n    {OPTIONS}", '{about: where, says: "Felt {answer}"}'),
        (f"choice\n    {OPTIONS}", "{about: where, says: Felt, options: {heard: A, floor: B}}"),
        ("yes-no", '{about: load, says: It tows, options: {"no": It never tows}}'),
        ("text", '{about: work, says: "{answer}"}'),
    ],
    ids=["with the answer", "a sentence for each option", "yes-no", "text"],
)
def test_sentence_that_fits_the_question_is_taken(tmp_path: Path, kind: str, concern: str) -> None:
    loaded(tmp_path, question(kind, concern))
