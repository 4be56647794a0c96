"""Sittings with the guide: what is asked, refused, shown, kept and written."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from advisor.checking import examine
from advisor.cli import main
from advisor.proof import prove
from advisor.rulebook import load
from advisor.writing import DraftError, WriteRefusedError
from advisor.writing.changes import Changes
from tests.helpers_rulebook import FILES
from tests.writing.sitting import (
    CAUSE,
    CTRL_C,
    EXAMPLE,
    FINDING,
    QUESTION,
    RESUME,
    rulebook,
    sit,
    sit_in_terminal,
)

WHOLE = [*CAUSE, *EXAMPLE, "write"]
DRAFT = ".new-cause.json"


class TestWritten:
    @pytest.mark.parametrize("talk", [sit, sit_in_terminal], ids=["plain", "terminal"])
    def test_cause_with_finding_question_and_example_loads_and_passes(
        self, tmp_path: Path, talk: type
    ) -> None:
        done = talk(rulebook(tmp_path), "cause", WHOLE)
        book = load(done.folder)
        assert book.causes["loose-damper"].remedy.minutes == 15
        assert book.findings["damper-loose"].says == "The damper is loose"
        assert book.questions["damper-moves"].place == "bench"
        assert examine(done.folder).problems == ()
        proof = prove(book, done.folder / "examples")
        assert [one.example.id for one in proof.results] == ["van-shakes", "old"]
        assert proof.failing == ()

    def test_other_files_are_untouched_and_the_draft_is_gone(self, tmp_path: Path) -> None:
        done = sit(rulebook(tmp_path), "cause", WHOLE)
        assert all(done.text(f"{name}.yaml") == text for name, text in FILES.items())
        assert {"dampers.yaml", "examples/dampers.yaml"} == done.names() - {
            *(f"{name}.yaml" for name in FILES),
            "examples/old.yaml",
        }

    def test_record_goes_to_the_end_of_its_section_in_a_file_that_is_there(
        self, tmp_path: Path
    ) -> None:
        done = sit(rulebook(tmp_path), "question", [*QUESTION, "questions.yaml", "write"])
        before, after = FILES["questions"], done.text("questions.yaml")
        head, tests = before.split("tests:\n")
        assert after.startswith(head)
        assert after.endswith(f"tests:\n{tests}")
        assert after.removeprefix(head).startswith(
            "  damper-moves:\n    ask: Is the damper loose?\n"
        )

    def test_finding_by_a_number_and_a_choice(self, tmp_path: Path) -> None:
        lines = [
            *("Thick and after work", "", "yoke-span", "between 60 mm and 9 cm"),
            *("last-work", "joint-replaced, none-known", "", "", "0.1", "rings-too-thin", "0.7"),
            *("wheel-unbalance", "0.05", "", "So.", "", "ring-spring"),
            *("A car", "", "", "", "vibrates", "no", "", "", "write"),
        ]
        done = sit(rulebook(tmp_path), "finding", lines)
        finding = load(done.folder).findings["thick-after-work"]
        assert finding.model_dump(by_alias=True, exclude_none=True) == {
            "says": "Thick and after work",
            "when": {
                "yoke-span": {"between": ["60 mm", "9 cm"]},
                "last-work": {"one_of": ["joint-replaced", "none-known"]},
            },
            "usual": 0.1,
            "with": {"rings-too-thin": 0.7, "wheel-unbalance": 0.05},
            "why": "So.",
            "source": "judgement",
            "stop_driving": "ring-spring",
        }
        assert 'yoke-span: "75 mm"' in done.text("examples/causes.yaml")

    def test_finding_by_any_of_several_facts(self, tmp_path: Path) -> None:
        wide = ("yoke-span", "above 90 mm")
        facts = [*wide, "vibrates", "yes", "yoke-span", "below 60 mm", "", "some", "any"]
        lines = [
            *("Odd or shaking", "", *facts, "0.1", "rings-too-thin", "0.7", "", "So.", "", ""),
            *("A car", "", "", "", "", "write"),
        ]
        done = sit(rulebook(tmp_path), "finding", lines)
        assert 'no way has the id "some"' in done.screen.text
        assert load(done.folder).findings["odd-shaking"].model_dump()["when"] == {
            "any": [
                {"yoke-span": {"above": "90 mm"}},
                {"vibrates": True},
                {"yoke-span": {"below": "60 mm"}},
            ]
        }
        assert 'answers:\n      yoke-span: "180 mm"\n    expect' in done.text(
            "examples/causes.yaml"
        )

    def test_test_with_its_questions(self, tmp_path: Path) -> None:
        lines = [
            *("Look at the damper", "", "bench", "4", "ring-spring", ""),
            *("How big is the gap?", "gap", "number", "mm", "caliper", "0 mm", "9 mm", "Why.", ""),
            *(
                "yes",
                "Which kind?",
                "damper-kind",
                "choice",
                "rubber: Of rubber",
                "steel: Of steel",
            ),
            *("", "Why.", "", "no", "dampers.yaml", "write"),
        ]
        done = sit(rulebook(tmp_path), "test", lines)
        book = load(done.folder)
        assert book.tests["look-damper"].answers == ("gap", "damper-kind")
        assert book.tests["look-damper"].cautions == ("ring-spring",)
        gap = book.questions["gap"].model_dump(exclude_none=True)
        assert (gap["gauge"], gap["range"]) == ("caliper", ("0 mm", "9 mm"))
        assert list(book.labels("damper-kind")) == ["rubber", "steel"]


# what is asked with which answers before, a wrong answer, and a part of what is said to it
WRONG = {
    "id taken": (["A fault"], "rings-too-thin", "taken"),
    "id form": (["A fault"], "A Fault", 'write "a-fault"'),
    "number with a unit": (CAUSE[:5], "15 min", "write 15"),
    "unknown test": (CAUSE[:4], "joint", "measure-joint: Measure yoke"),
    "unknown caution": (CAUSE[:8], "rign-spring", 'did you mean "ring-spring"'),
    "unknown place": (CAUSE[:10], "garage", 'known here: "desk"'),
    "nothing": (CAUSE[:2], "", "nothing was typed"),
    "rate in per cent": ([*CAUSE[:15], *FINDING[:13]], "30 %", "write 0.3"),
    "rate as usual": ([*CAUSE[:15], *FINDING[:14]], "0.02", "usual rate"),
}


class TestRefused:
    @pytest.mark.parametrize(("before", "wrong", "said"), WRONG.values(), ids=WRONG)
    def test_wrong_answer_is_told_at_once(
        self, tmp_path: Path, before: list[str], wrong: str, said: str
    ) -> None:
        done = sit(rulebook(tmp_path), "cause", [*before, wrong])
        assert said in done.screen.text.replace("\n", " ")
        assert done.screen.questions()[-1] == done.screen.questions()[-2]

    def test_names_that_hold_a_typed_word_are_told_in_a_terminal_as_well(
        self, tmp_path: Path
    ) -> None:
        done = sit_in_terminal(rulebook(tmp_path), "cause", [*CAUSE[:4], "joint"])
        assert "- measure-joint: Measure yoke, cross and rings" in done.screen.text

    @pytest.mark.parametrize(
        ("wrong", "said"),
        [
            ("over 3 mm", "above, below or between"),
            ("above 3 deg", "a length was asked"),
            ("above 3", "has no unit"),
            ("between 3 mm and 1 mm", "must be the smaller"),
        ],
    )
    def test_wrong_comparison_is_told_at_once(self, tmp_path: Path, wrong: str, said: str) -> None:
        done = sit(rulebook(tmp_path), "finding", ["Says", "", "yoke-span", wrong])
        assert said in done.screen.text

    def test_example_that_fails_is_shown_before_anything_is_written(self, tmp_path: Path) -> None:
        example = [*EXAMPLE[:2], "no", *EXAMPLE[3:]]
        done = sit(rulebook(tmp_path), "cause", [*CAUSE, *example, "/stop"])
        assert "expected damper-loose: true; came out: damper-loose: false" in done.screen.text
        assert "dampers.yaml" not in done.names()

    def test_warning_of_the_check_is_shown_before_anything_is_written(self, tmp_path: Path) -> None:
        weld = [*CAUSE[:6], "Weld it on.", *CAUSE[7:]]
        done = sit(rulebook(tmp_path), "cause", [*weld, *EXAMPLE])
        assert "warning[remedy-without-caution]" in done.screen.text
        assert str(done.folder) in done.screen.text

    def test_file_whose_layout_has_no_room_is_asked_anew(self, tmp_path: Path) -> None:
        folder = rulebook(tmp_path)
        (folder / "flat.yaml").write_text("{causes: {}}\n", encoding="utf-8")
        done = sit(folder, "cause", [*CAUSE, *EXAMPLE[:-1], "flat.yaml", "dampers.yaml", "write"])
        assert "choose another file" in done.screen.text
        assert "loose-damper" in done.text("dampers.yaml")


def test_disk_that_refuses_the_second_file_leaves_neither(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = rulebook(tmp_path)
    changes = Changes(folder)
    changes.add(Path("causes.yaml"), "causes", "new", {"name": "New"})
    changes.add(Path("new.yaml"), "questions", "newer", {"ask": "Newer?"})
    changes.add(Path("examples/new.yaml"), "examples", "new", {"title": "New"})
    before = {one.name: one.read_bytes() for one in folder.glob("*.yaml")}
    opened = os.open

    def full(path: Path, *rest: int) -> int:
        if Path(path).parent.name == "examples" and rest[0] & os.O_CREAT:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        return opened(path, *rest)

    monkeypatch.setattr(os, "open", full)
    with pytest.raises(WriteRefusedError, match=r"examples/new\.yaml: cannot be written: no space"):
        changes.write()
    assert {one.name: one.read_bytes() for one in folder.glob("*.yaml")} == before


def test_file_that_someone_changed_meanwhile_is_not_overwritten(tmp_path: Path) -> None:
    folder = rulebook(tmp_path)
    changes = Changes(folder)
    changes.add(Path("causes.yaml"), "causes", "new", {"name": "New"})
    mine = FILES["causes"] + "# my own line\n"
    (folder / "causes.yaml").write_text(mine, encoding="utf-8")
    with pytest.raises(WriteRefusedError, match="was changed meanwhile"):
        changes.write()
    assert (folder / "causes.yaml").read_text(encoding="utf-8") == mine


class TestHalfWay:
    @pytest.mark.parametrize("end", ["/stop", CTRL_C, None], ids=["stop", "ctrl-c", "end"])
    def test_nothing_but_the_draft_is_kept_and_one_goes_on_with_it(
        self, tmp_path: Path, end: str | None
    ) -> None:
        folder = rulebook(tmp_path)
        half = sit(folder, "cause", [*CAUSE[:9], *([end] if end else [])])
        assert f"9 answers kept in {folder / DRAFT}" in half.screen.text
        assert RESUME in half.screen.text
        assert "dampers.yaml" not in half.names()
        done = sit(folder, "cause", ["", *CAUSE[9:], *EXAMPLE, "write"])
        assert load(folder).causes["loose-damper"].remedy.steps == ("Tighten it.",)
        assert DRAFT not in done.names()

    def test_draft_can_be_dropped(self, tmp_path: Path) -> None:
        folder = rulebook(tmp_path)
        sit(folder, "cause", CAUSE[:4])
        done = sit(folder, "cause", ["anew", *WHOLE])
        assert "dampers.yaml" in done.names()

    def test_stop_at_the_first_question_leaves_no_draft(self, tmp_path: Path) -> None:
        done = sit(rulebook(tmp_path), "cause", ["/stop"])
        assert done.screen.told[-1][1] == "stopped; nothing was written"
        assert DRAFT not in done.names()

    def test_back_asks_the_question_before_again_and_keeps_the_rest(self, tmp_path: Path) -> None:
        lines = ["/back", "Mud", "/back", *CAUSE[:3], "/back", "It sways.", *WHOLE[3:]]
        done = sit(rulebook(tmp_path), "cause", lines)
        assert "this is the first question" in done.screen.text
        assert load(done.folder).causes["loose-damper"].what == "It sways."

    def test_answer_that_no_longer_fits_is_asked_again(self, tmp_path: Path) -> None:
        folder = rulebook(tmp_path)
        sit(folder, "cause", CAUSE[:12])
        (folder / "more.yaml").write_text(
            FILES["causes"].replace("rings-too-thin:", "loose-damper:").split("  wheel-")[0],
            encoding="utf-8",
        )
        done = sit(folder, "cause", ["", "looser-damper"])
        assert done.screen.questions()[1].startswith("Id of the cause")

    @pytest.mark.parametrize(
        "text",
        [
            '{"format": 7}',
            '{"format": 1, "answers": "abc"}',
            '{"format": 1, "answers": ["half a pair: \\ud800"]}',
            '{"format": 1, "answers": ["two\\nlines"]}',
            "[" * 100_000,
        ],
        ids=["format", "no-list", "half-a-pair", "two-lines", "deep"],
    )
    def test_unreadable_draft_is_told_and_kept(self, tmp_path: Path, text: str) -> None:
        folder = rulebook(tmp_path)
        (folder / DRAFT).write_text(text, encoding="utf-8")
        with pytest.raises(DraftError, match="delete it"):
            sit(folder, "cause", [])
        assert (folder / DRAFT).read_text(encoding="utf-8") == text

    @pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no such pipes")
    def test_pipe_in_place_of_a_draft_is_not_waited_for(self, tmp_path: Path) -> None:
        folder = rulebook(tmp_path)
        os.mkfifo(folder / DRAFT)
        with pytest.raises(DraftError, match="not an ordinary file"):
            sit(folder, "cause", [])

    def test_help_says_more(self, tmp_path: Path) -> None:
        done = sit(rulebook(tmp_path), "cause", [*CAUSE[:8], "/help"])
        assert "- ring-spring: A retaining ring can spring out" in done.screen.text


class TestVerb:
    def test_shipped_rulebook_is_not_written_into(self, capsys: pytest.CaptureFixture[str]) -> None:
        assert main(["new", "cause"]) == 2
        assert "advisor new --copy FOLDER" in capsys.readouterr().err

    def test_what_is_missing(self, capsys: pytest.CaptureFixture[str]) -> None:
        assert main(["new"]) == 2
        assert "cause, finding, question or test" in capsys.readouterr().err

    def test_copy_can_be_written_into_and_is_never_overwritten(
        self, tmp_path: Path, capsys: pytest.CaptureFixture[str]
    ) -> None:
        target = tmp_path / "mine"
        assert main(["new", "--copy", str(target)]) == 0
        assert load(target).warnings == ()
        assert (target / "examples").is_dir()
        assert main(["new", "--copy", str(target)]) == 2
        assert "is there already" in capsys.readouterr().err
