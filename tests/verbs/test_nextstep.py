"""The command that most likely comes next: which it is, and when none is told."""

from __future__ import annotations

import io
import re
import shlex
import sys
from pathlib import Path

import pytest

from advisor.arguments import parser
from advisor.cases import write_case
from advisor.cli import main
from tests.helpers_rulebook import small_rulebook
from tests.learning.world import AUTHOR
from tests.learning.world import case as closed_case

HEAD = "format: 1\nid: car\nrulebook: {id: small, version: 0.1.0}\nanswers: {vibrates: 'yes'}\n"
OUTCOME = "outcome: {causes: [rings-too-thin]}\n"


class Terminal(io.StringIO):
    """A stream that a person is watching."""

    def isatty(self) -> bool:
        return True

    def clear(self) -> None:
        self.seek(0)
        self.truncate()


def watch(monkeypatch: pytest.MonkeyPatch) -> Terminal:
    """A terminal in place of standard error, from now on."""
    stream = Terminal()
    monkeypatch.setattr(sys, "stderr", stream)
    return stream


def next_of(stream: Terminal) -> str | None:
    found = re.findall(r"^next: advisor (.*)$", stream.getvalue(), re.MULTILINE)
    assert len(found) < 2
    return found[0] if found else None


@pytest.mark.parametrize("verb", ["rank", "why"])
def test_open_case_goes_on_and_a_closed_one_gets_its_statement(
    verb: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    watched = watch(monkeypatch)
    case, book = tmp_path / "my car.yaml", small_rulebook(tmp_path)
    case.write_text(HEAD, encoding="utf-8")
    assert main([verb, str(case), "--rulebook", str(book)]) == 0
    told = next_of(watched)
    assert told is not None
    options = parser().parse_args(shlex.split(told))
    assert (options.verb, options.case, options.rulebook) == ("ask", case, book)
    watched.clear()
    case.write_text(HEAD + OUTCOME, encoding="utf-8")
    assert main([verb, str(case), "--rulebook", str(book)]) == 0
    assert (next_of(watched) or "").startswith("statement ")


def test_nothing_is_told_with_json_or_where_nobody_watches(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    watched = watch(monkeypatch)
    case, book = tmp_path / "car.yaml", small_rulebook(tmp_path)
    case.write_text(HEAD, encoding="utf-8")
    words = ["rank", str(case), "--rulebook", str(book)]
    assert main([*words, "--json"]) == 0
    assert next_of(watched) is None
    monkeypatch.setattr(sys, "stderr", io.StringIO())
    assert main(words) == 0
    assert next_of(watched) is None
    assert "next: " not in capsys.readouterr().out


def test_closing_leads_to_the_statement_and_failing_to_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    watched = watch(monkeypatch)
    case, book = tmp_path / "car.yaml", ["--rulebook", str(small_rulebook(tmp_path))]
    case.write_text(HEAD, encoding="utf-8")
    assert main(["close", str(case), "--cause", "no-such", *book]) == 2
    assert next_of(watched) is None
    assert main(["close", str(case), "--none-of-the-listed", *book]) == 0
    assert (next_of(watched) or "").startswith("statement ")


def test_rules_and_rates_lead_to_their_proof(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    watched = watch(monkeypatch)
    assert main(["check", "--rulebook", str(small_rulebook(tmp_path))]) == 0
    assert (next_of(watched) or "").startswith("prove --rulebook ")
    watched.clear()
    AUTHOR.load(tmp_path / "book")
    folder, overlay = tmp_path / "cases", tmp_path / "new.yaml"
    folder.mkdir()
    write_case(folder / "1.yaml", closed_case({"q-ticks": "yes"}, "worn"))
    words = ["calibrate", str(folder), "--rulebook", str(tmp_path / "book")]
    assert main([*words, "--write", str(overlay)]) == 0
    told = shlex.split(next_of(watched) or "")
    assert main(told) == 0


def test_desk_hands_over_by_the_statement_and_a_technician_is_told_by_the_interview(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    case, book = tmp_path / "car.yaml", ["--rulebook", str(small_rulebook(tmp_path))]
    case.write_text(HEAD, encoding="utf-8")
    watched = watch(monkeypatch)
    words = ["ask", str(case), "--plain", *book]
    for role, told in (("service-advisor", "statement"), ("technician", "")):
        watched.clear()
        monkeypatch.setattr(sys, "stdin", io.StringIO("/stop\n"))
        assert main([*words, "--role", role]) == 0
        assert (next_of(watched) or "").split(" ")[0] == told
