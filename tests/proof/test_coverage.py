"""What no example shows is listed by id and place; what one shows is not."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.proof.coverage import Coverage, Gap, coverage
from tests.proof.book import LOOSE, THIN, example_text, folder_of, run


def covered(tmp_path: Path, *texts: str) -> Coverage:
    return coverage(*run(folder_of(tmp_path), *texts))


def missing(gaps: tuple[Gap, ...], name: str) -> tuple[str, ...]:
    return next((gap.missing for gap in gaps if gap.id == name), ())


def items(tmp_path: Path, answers: str, name: str) -> list[str]:
    """The items of this record on which the example did not turn alone."""
    found = covered(tmp_path, example_text(answers, "stops: []"))
    return [gap.missing[0] for gap in found.items if gap.id == name]


class TestOutcomes:
    def test_unseen_outcomes_of_each_finding_are_listed(self, tmp_path: Path) -> None:
        found = covered(tmp_path, example_text(LOOSE, "first: flange-loose")).outcomes
        assert missing(found, "bolts-unsafe") == ("false", "unknown")
        assert missing(found, "stack-end-play") == ("preload", "good", "too-much")
        assert [Path(gap.path).name for gap in found] == ["findings.yaml"] * 4 + ["more.yaml"] * 2

    def test_place_is_that_of_the_id(self, tmp_path: Path) -> None:
        (gap,) = [
            gap
            for gap in covered(tmp_path, example_text(LOOSE, "stops: []")).outcomes
            if gap.id == "bolts-unsafe"
        ]
        line = Path(gap.path).read_text(encoding="utf-8").splitlines()[gap.line - 1]
        assert line[gap.column - 1 :] == "bolts-unsafe:"

    def test_finding_seen_in_all_outcomes_is_not_listed(self, tmp_path: Path) -> None:
        found = covered(
            tmp_path,
            example_text(LOOSE, "stops: []", "a"),
            example_text("bolts-loose: false, bolts-missing: false", "stops: []", "b"),
            example_text(THIN, "stops: []", "c"),
        )
        assert missing(found.outcomes, "bolts-unsafe") == ()

    def test_too_close_to_call_shows_no_outcome(self, tmp_path: Path) -> None:
        close = THIN.replace("76.98", "77.05")
        found = covered(tmp_path, example_text(close, "findings: {stack-end-play: too-close}"))
        assert missing(found.outcomes, "stack-end-play") == (
            "preload",
            "good",
            "too-much",
            "unknown",
        )


EITHER = """\
findings:
  either:
    says: Either
    when:
      any:
        - {{{first}}}
        - {{{second}}}
    usual: 0.1
    with: {{flange-loose: 0.3}}
    why: It may be so.
    source: judgement
"""
ANY = ["bolts-loose: true, alone true", "bolts-missing: true, alone true"]
ALL = ["vibrates: true, alone false", "layout: two-piece, alone false"]


class TestItems:
    @pytest.mark.parametrize(
        ("answers", "left"),
        [
            ("note: none", ANY),
            ("bolts-loose: true", ANY[1:]),
            ("bolts-loose: true, bolts-missing: false", ANY[1:]),
            ("bolts-loose: false, bolts-missing: true", ANY[:1]),
            ("bolts-loose: true, bolts-missing: true", ANY),
            ("bolts-loose: false, bolts-missing: false", ANY),
        ],
    )
    def test_item_of_any_turns_alone_when_only_it_is_true(
        self, tmp_path: Path, answers: str, left: list[str]
    ) -> None:
        assert items(tmp_path, answers, "bolts-unsafe") == left

    @pytest.mark.parametrize(
        ("answers", "left"),
        [
            ("vibrates: true, layout: two-piece", ALL),
            ("vibrates: false, layout: two-piece", ALL[1:]),
            ("vibrates: true, layout: one-piece", ALL[:1]),
            ("vibrates: false, layout: one-piece", ALL),
        ],
    )
    def test_item_of_all_turns_alone_when_only_it_is_false(
        self, tmp_path: Path, answers: str, left: list[str]
    ) -> None:
        assert items(tmp_path, answers, "boom-of-support") == left

    def test_item_does_not_turn_alone_beside_one_too_close_to_call(self, tmp_path: Path) -> None:
        folder_of(tmp_path).joinpath("close.yaml").write_text(
            EITHER.format(first="end-play: {above: 0.05 mm}", second="bolts-loose: true"),
            encoding="utf-8",
        )
        close = f"{LOOSE}, {THIN.replace('76.98', '77.05')}"
        assert items(tmp_path, close, "either") == [
            "end-play: above 0.05 mm, alone true",
            "bolts-loose: true, alone true",
        ]
        surely_not = f"{LOOSE}, {THIN.replace('76.98', '77.2')}"
        assert items(tmp_path, surely_not, "either") == ["end-play: above 0.05 mm, alone true"]

    def test_place_tells_two_items_on_one_fact_apart(self, tmp_path: Path) -> None:
        folder_of(tmp_path).joinpath("twice.yaml").write_text(
            EITHER.format(first="last-work: tyres-replaced", second="last-work: joint-replaced"),
            encoding="utf-8",
        )
        found = covered(tmp_path, example_text("note: none", "stops: []")).items
        lines = [(gap.missing[0], gap.line) for gap in found if gap.id == "either"]
        assert lines == [
            ("last-work: tyres-replaced, alone true", 6),
            ("last-work: joint-replaced, alone true", 7),
        ]

    def test_place_is_that_of_the_item(self, tmp_path: Path) -> None:
        found = covered(tmp_path, example_text("note: none", "stops: []")).items
        texts = []
        for gap in found:
            line = Path(gap.path).read_text(encoding="utf-8").splitlines()[gap.line - 1]
            texts.append(line[gap.column - 1 :])
        assert texts == [
            "bolts-loose: true}",
            "bolts-missing: true}",
            "vibrates: true, layout: two-piece}",
            "layout: two-piece}",
        ]


class TestCauses:
    def test_causes_found_first_and_near_misses_are_not_listed(self, tmp_path: Path) -> None:
        found = covered(
            tmp_path,
            example_text(LOOSE, "first: flange-loose, near_miss_of: wheel-unbalance", "a"),
            example_text(THIN, "first: rings-too-thin", "b"),
        )
        assert [gap.id for gap in found.never_first] == ["wheel-unbalance", "support-worn"]
        assert [gap.id for gap in found.no_near_miss] == [
            "rings-too-thin",
            "flange-loose",
            "support-worn",
        ]

    def test_failing_example_shows_no_cause(self, tmp_path: Path) -> None:
        expect = "first: flange-loose, near_miss_of: wheel-unbalance, stops: []"
        found = covered(tmp_path, example_text(LOOSE, expect))
        assert "flange-loose" in [gap.id for gap in found.never_first]
        assert "wheel-unbalance" in [gap.id for gap in found.no_near_miss]
