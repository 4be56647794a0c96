"""The verbs of a case's end: statement, history, close with rings, reopen."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import pytest

from advisor.cases import CaseFile, read_case
from advisor.life import keep_private
from advisor.rulebook import read_yaml
from tests.running import Run

ROOT = Path(__file__).parents[1]
CAUSE = ("--cause", "rings-too-thin")


@pytest.fixture
def case(tmp_path: Path) -> Path:
    """The demo pickup, still open."""
    text = (ROOT / "cases" / "pickup-shake.yaml").read_text(encoding="utf-8")
    path = tmp_path / "pickup-shake.yaml"
    path.write_text(re.sub(r"^outcome:.*", "", text, flags=re.DOTALL | re.MULTILINE), "utf-8")
    return path


@pytest.fixture
def stock(tmp_path: Path) -> Path:
    return Path(shutil.copy(ROOT / "cases" / "stock" / "rings.yaml", tmp_path / "rings.yaml"))


def closed(case: Path) -> CaseFile:
    found = read_case(case)
    assert found.closing is not None
    return found


def test_statement_says_the_concern_in_the_words_of_the_shipped_rulebook(
    run: Run, case: Path
) -> None:
    status, out, _ = run("statement", case)
    shown = " ".join(out.split())
    assert status == 0
    assert "The customer complains of: shake or shudder that is felt." in shown
    assert "It is felt most in the floor or seat. It is worst at 60 mph." in shown
    assert "The last work before it: a universal joint was replaced." in shown
    assert "Not asked: when it comes." in shown


def test_close_with_everything_said_is_one_command(run: Run, case: Path, stock: Path) -> None:
    words = ["--work", "Two rings", "--ring", "tray-4=2", "--after", "ring-1-thickness=1.54 mm"]
    words += ["--proof", "1=0.03 mm", "--proof", "2=not-done", "--noted", "3=0.11, then 0.03 mm"]
    words += ["--gone", "--minutes", "50", "--by", "RB", "--part", "a seal", "--stock", str(stock)]
    status, out, err = run("close", case, *CAUSE, *words)
    assert (status, out) == (0, "")
    assert "the outcome is recorded" in err
    assert read_yaml(stock).data["rings"]["tray-4"]["count"] == 3
    _, out, _ = run("statement", case)
    for part in ("Two rings.", "2 rings of 1.54 mm from box tray-4.", "1.500 mm before, 1.54 mm"):
        assert part in " ".join(out.split())
    _, out, _ = run("history", case)
    assert "(RB): closed as: Retaining rings too thin" in " ".join(out.split())


def test_rings_without_a_stock_are_refused_and_the_case_stays_open(run: Run, case: Path) -> None:
    status, _, err = run("close", case, *CAUSE, "--ring", "tray-4=2")
    assert status == 2
    assert "--stock FILE" in err
    assert read_case(case).outcome is None


def test_stock_of_the_settings_is_lessened(run: Run, case: Path, stock: Path) -> None:
    settings = stock.with_name("settings.yaml")
    settings.write_text("format: 1\nstock: rings.yaml\n", encoding="utf-8")
    assert run("close", case, *CAUSE, "--ring", "tray-1=1", "--settings", settings)[0] == 0
    assert read_yaml(stock).data["rings"]["tray-1"]["count"] == 5


def test_json_of_statement_and_history_has_a_format(run: Run, case: Path) -> None:
    for verb in ("statement", "history"):
        status, out, _ = run(verb, case, "--json")
        assert status == 0
        assert (json.loads(out)["format"], json.loads(out)["case"]) == (1, "pickup-shake")


def test_private_data_are_shown_only_when_asked_for(run: Run, case: Path) -> None:
    keep_private(case, customer="A. Customer")
    for words in (["rank", case, "--json"], ["statement", case], ["statement", case, "--json"]):
        _, out, err = run(*words)
        assert "A. Customer" not in out + err
    assert "the customer's name: A. Customer" in run("statement", case, "--private")[1]
    shown = json.loads(run("statement", case, "--private", "--json")[1])
    assert shown["private"] == {"customer": "A. Customer"}


def test_json_of_close_and_reopen_asks_nothing(run: Run, case: Path) -> None:
    new = case.with_name("pickup-2.yaml")
    before = case.read_bytes()
    for words, wanted in (
        (("close", case), "say --cause ID or --none-of-the-listed as well"),
        (("reopen", case, new), "say --ever-right yes, no or dont-know as well"),
    ):
        status, out, err = run(*words, "--json")
        assert (status, out) == (2, "")
        assert wanted in err
    assert case.read_bytes() == before
    status, out, err = run("close", case, *CAUSE, "--json")
    assert json.loads(out) == json.loads(run("statement", case, "--json")[1])
    assert err == f"{case}: the outcome is recorded\n"
    status, out, err = run("reopen", case, new, "--ever-right", "yes", "--json")
    assert (status, err, new.is_file()) == (0, "", True)
    assert {one["question"] for one in json.loads(out)["taken_over"]} >= {"drive-layout"}


def test_reopen_begins_the_case_of_a_comeback(run: Run, case: Path) -> None:
    run("close", case, *CAUSE, "--work", "Two rings")
    new = case.with_name("pickup-2.yaml")
    words = ["--ever-right", "no", "--complaint", "It shakes again"]
    status, out, err = run("reopen", case, new, *words)
    assert status == 0
    assert "counts as a repair without a cure: Retaining rings too thin" in out
    assert f"go on with: advisor ask {new}" in err
    found = read_case(new)
    assert found.latest()["drive-layout"] == "rear"
    assert "fork-span" not in found.latest()
    assert run("rank", new)[0] == 0
    assert run("reopen", case, new, *words)[0] == 2


def test_reopen_of_an_open_case_says_what_to_do(run: Run, case: Path) -> None:
    status, _, err = run("reopen", case, case.with_name("x.yaml"), "--ever-right", "yes")
    assert status == 2
    assert "is still open" in err


@pytest.mark.parametrize(
    ("words", "reason"),
    [
        (["--by", "x" * 61], "a name has at most 60"),
        (["--note", "x" * 100_000], "at most 1000 can be kept"),
        (["--minutes", "soon"], "invalid float value"),
        (["--gone", "--not-gone"], "not allowed with"),
        (["--proof", "7=x"], "known here: 1: Measure end play"),
    ],
    ids=["long name", "long note", "minutes", "both", "proof"],
)
def test_wrong_words_change_nothing(run: Run, case: Path, words: list[str], reason: str) -> None:
    before = case.read_bytes()
    status, _, err = run("close", case, *CAUSE, *words)
    assert (status, case.read_bytes()) == (2, before)
    assert reason in " ".join(err.split())


def test_text_that_steers_a_terminal_is_kept_harmless(run: Run, case: Path) -> None:
    words = "\x1b[31mred\x07 \u202eright <script>\U0001f527"
    run("close", case, *CAUSE, "--work", words, "--note", words, "--by", words)
    for verb in ("statement", "history"):
        out = run(verb, case)[1]
        assert not re.search("[\x00-\x09\x0b-\x1f\u202e]", out)
    assert closed(case).closing.work == "[31mred right <script>\U0001f527"  # type: ignore[union-attr]
