"""An overlay: whose rates it replaces, and what it is refused or warned for, with its place."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.engine.diagnosis import Diagnosis
from advisor.rulebook import LoadError, Problem, Rulebook, Severity, load, read_overlay
from tests.helpers_rulebook import CAUSES, FINDINGS, RULEBOOK, small_rulebook

HEAD = """\
format: 1
rulebook: {id: small, version: "0.1.0"}
cases: 100
strength: 20
"""


def change(old: float, new: float) -> str:
    return f"{{old: {old}, new: {new}, cases: 30, low: 0.01, high: 0.99}}"


YES_NO = f"""\
findings:
  began-after-joint-work:
    usual: {change(0.1, 0.2)}
    with: {{rings-too-thin: {change(0.8, 0.7)}}}
"""
SEVERAL = f"""\
findings:
  stack-end-play:
    values:
      preload: {{with: {{rings-too-thin: {change(0.02, 0.1)}}}}}
      good: {{with: {{rings-too-thin: {change(0.13, 0.3)}}}}}
      too-much: {{with: {{rings-too-thin: {change(0.85, 0.6)}}}}}
"""
PRIOR = f"""\
none_of_the_listed: {change(0.08, 0.12)}
commonness:
  rings-too-thin: {change(3, 1.5)}
"""


def with_overlay(tmp_path: Path, text: str, head: str = HEAD) -> Rulebook:
    path = tmp_path / "overlay.yaml"
    path.write_text(head + text, encoding="utf-8")
    return load(small_rulebook(tmp_path), overlay=read_overlay(path))


def problems(tmp_path: Path, text: str, head: str = HEAD) -> list[Problem]:
    try:
        found = with_overlay(tmp_path, text, head).warnings
    except LoadError as error:
        found = error.problems
    return [one for one in found if one.path.endswith("overlay.yaml")]


def places(tmp_path: Path, text: str, head: str = HEAD) -> list[tuple[int, int, str]]:
    return [(one.line, one.column, one.code) for one in problems(tmp_path, text, head)]


def test_rates_of_a_yes_or_no_finding_are_replaced(tmp_path: Path) -> None:
    rulebook = with_overlay(tmp_path, YES_NO)
    finding = rulebook.engine.effects.findings["began-after-joint-work"]
    assert finding.usual == pytest.approx((0.2, 0.8))
    assert finding.rates["rings-too-thin"] == pytest.approx((0.7, 0.3))
    assert rulebook.warnings == ()


def test_column_of_several_values_is_replaced(tmp_path: Path) -> None:
    finding = with_overlay(tmp_path, SEVERAL).engine.effects.findings["stack-end-play"]
    assert finding.usual == (0.1, 0.75, 0.15)
    assert finding.rates["rings-too-thin"] == (0.1, 0.3, 0.6)


def test_commonness_and_share_of_none_are_replaced(tmp_path: Path) -> None:
    rules = with_overlay(tmp_path, PRIOR).rules
    assert rules.none_share == 0.12
    assert [cause.commonness for cause in rules.causes] == [1.5, 5.0]


def test_it_ranks_as_the_rulebook_would_with_these_rates_written_in_it(tmp_path: Path) -> None:
    (tmp_path / "edited").mkdir()
    edited = small_rulebook(
        tmp_path / "edited",
        rulebook=RULEBOOK.replace("0.08", "0.12"),
        causes=CAUSES.replace("commonness: 3", "commonness: 1.5"),
        findings=FINDINGS.replace("usual: 1 in 10", "usual: 0.2").replace("8 in 10", "0.7"),
    )
    by_hand = Diagnosis(load(edited).engine)
    by_overlay = Diagnosis(with_overlay(tmp_path, YES_NO + PRIOR).engine)
    for diagnosis in (by_hand, by_overlay):
        diagnosis.answer("last-work", "joint-replaced")
    assert by_overlay.ranking() == by_hand.ranking()


def test_version_tells_the_overlay(tmp_path: Path) -> None:
    version = with_overlay(tmp_path, YES_NO).meta.version
    assert version.startswith("0.1.0+overlay.")
    assert with_overlay(tmp_path, YES_NO).meta.version == version
    assert with_overlay(tmp_path, SEVERAL).meta.version != version


def test_records_still_stand_where_the_author_wrote_them(tmp_path: Path) -> None:
    place = with_overlay(tmp_path, YES_NO).place_of("findings", "began-after-joint-work")
    assert place.path.endswith("findings.yaml")


STALE = YES_NO.replace("old: 0.8", "old: 0.75")


def test_rate_that_the_author_has_changed_is_kept_with_a_warning(tmp_path: Path) -> None:
    rulebook = with_overlay(tmp_path, STALE)
    finding = rulebook.engine.effects.findings["began-after-joint-work"]
    assert finding.rates["rings-too-thin"] == pytest.approx((0.8, 0.2))
    assert finding.usual == pytest.approx((0.2, 0.8))
    (warning,) = rulebook.warnings
    assert warning.severity is Severity.WARNING
    assert (warning.line, warning.column, warning.code) == (8, 34, "outdated-overlay")
    assert warning.message == (
        'the rulebook now has 0.8 for "began-after-joint-work", "with", "rings-too-thin", '
        "not 0.75; it is kept"
    )


def test_rate_that_was_taken_over_needs_no_warning(tmp_path: Path) -> None:
    taken_over = YES_NO.replace("old: 0.8, new: 0.7", "old: 0.6, new: 0.8")
    assert with_overlay(tmp_path, taken_over).warnings == ()


def test_column_with_one_outdated_rate_is_kept_whole(tmp_path: Path) -> None:
    rulebook = with_overlay(tmp_path, SEVERAL.replace("old: 0.13", "old: 0.2"))
    finding = rulebook.engine.effects.findings["stack-end-play"]
    assert finding.rates["rings-too-thin"] == (0.02, 0.13, 0.85)
    assert [one.code for one in rulebook.warnings] == ["outdated-overlay"]


def test_other_version_is_warned_of_and_used(tmp_path: Path) -> None:
    head = HEAD.replace("0.1.0", "0.0.9")
    rulebook = with_overlay(tmp_path, YES_NO, head)
    finding = rulebook.engine.effects.findings["began-after-joint-work"]
    assert finding.usual == pytest.approx((0.2, 0.8))
    (warning,) = rulebook.warnings
    assert (warning.line, warning.column, warning.code) == (2, 32, "outdated-overlay")


@pytest.mark.parametrize(
    ("text", "where"),
    [
        (YES_NO.replace("began-after", "begun-after"), (6, 3, "unknown-fact")),
        (YES_NO.replace("rings-too-thin", "wheel-unbalance"), (8, 12, "unknown-cause")),
        (PRIOR.replace("rings-too-thin", "ring-too-thin"), (7, 3, "unknown-cause")),
        (SEVERAL.replace("preload:", "pre-load:"), (8, 7, "unknown-option")),
        (SEVERAL.replace("rings-too-thin", "rings"), (8, 24, "unknown-cause")),
        (SEVERAL.replace("new: 0.6", "new: 0.7"), (8, 24, "rates-do-not-add-up")),
        (SEVERAL.replace(SEVERAL.splitlines()[-1], ""), (8, 24, "missing-cause-rate")),
        (YES_NO.replace("usual:", "values: {}\n    usual:"), ()),
        (SEVERAL.replace("stack-end-play", "began-after-joint-work"), (7, 5, "wrong-value")),
        (YES_NO.replace("began-after-joint-work", "stack-end-play"), (7, 5, "wrong-value")),
        (YES_NO.replace("new: 0.2", "new: 1.2"), (7, 28, "wrong-rate")),
        (YES_NO.replace("usual:", "usal:"), (7, 5, "unknown-field")),
    ],
    ids=[
        *("finding", "cause", "commonness", "value", "column", "sum", "value-missing"),
        *("no-values-are-fine", "values-of-yes-no", "rates-of-several", "range", "field"),
    ],
)
def test_what_does_not_fit_is_told_at_its_place(
    tmp_path: Path, text: str, where: tuple[int, int, str]
) -> None:
    assert places(tmp_path, text) == ([where] if where else [])


def test_near_name_is_offered(tmp_path: Path) -> None:
    (problem,) = problems(tmp_path, YES_NO.replace("began-after", "begun-after"))
    assert problem.hint == 'did you mean "began-after-joint-work"?'


def test_overlay_of_another_rulebook_is_refused(tmp_path: Path) -> None:
    head = HEAD.replace("id: small", "id: large")
    assert places(tmp_path, YES_NO, head) == [(2, 16, "wrong-value")]


def test_newer_format_is_refused(tmp_path: Path) -> None:
    head = HEAD.replace("format: 1", "format: 2")
    assert places(tmp_path, YES_NO, head) == [(1, 9, "unknown-format")]
