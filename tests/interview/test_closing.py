"""Closing in a conversation: each reply is on disk; a closing may be left and taken up again."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest

from advisor.cases import CaseFile, Result, new_case, read_case
from advisor.interview import Interrupted, ask_ever_right, run_closing
from advisor.rulebook import Rulebook, load
from tests.interview.talk import CTRL_C
from tests.life.book import write_book, write_stock
from tests.life.test_stockfile import counts

# gone, cause, work, rings, no more, a part, no more, reading, proof, notes, minutes
WHOLE = ["yes", "1", "Rings", "tray-2 2", "", "a seal", "", "0.03 mm", "quiet", "not-done"]
WHOLE += ["0.3, 0.03", "1.54 mm", "45 min"]


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Rulebook:
    return load(write_book(tmp_path_factory.mktemp("rulebook")))


@pytest.fixture
def van(tmp_path: Path, book: Rulebook) -> Path:
    path = tmp_path / "van.yaml"
    new_case(path, book, complaint="It shudders").answer("play", "0.3 mm")
    return path


class Shop:
    """A port that gives its lines in turn, then ends, and keeps what was shown."""

    columns = 80

    def __init__(self, lines: Sequence[str]) -> None:
        self._lines = list(lines)
        self.asked: list[str] = []
        self.told: list[str] = []

    def ask(self, prompt: object) -> str:
        self.asked.append(getattr(prompt, "text", ""))
        if not self._lines:
            raise EOFError
        line = self._lines.pop(0)
        if line == CTRL_C:
            raise KeyboardInterrupt
        return line

    def tell(self, text: str, tone: object = None) -> None:
        self.told.append(text)

    @property
    def text(self) -> str:
        return "\n".join(self.told)


def close(
    book: Rulebook, path: Path, lines: Sequence[str], stock: Path | None = None
) -> tuple[Shop, CaseFile]:
    port = Shop(lines)
    run_closing(book, path, port=port, role="technician", by="RB", stock=stock)
    return port, read_case(path)


def test_whole_closing_is_kept_and_stated(book: Rulebook, van: Path, tmp_path: Path) -> None:
    stock = write_stock(tmp_path)
    port, case = close(book, van, WHOLE, stock)
    closing = case.closing
    assert closing is not None
    assert case.outcome == Result(causes=("loose-joint",))
    assert (closing.complaint_gone, closing.work, closing.parts) == (True, "Rings", ("a seal",))
    assert closing.latest_after() == {"play": "0.03 mm"}
    assert [(one.done, one.result) for one in closing.proof] == [(True, "quiet"), (False, None)]
    assert [one.words for one in closing.noted] == ["0.3, 0.03", "1.54 mm"]
    assert (closing.minutes, closing.by, closing.who) == (45.0, "technician", "RB")
    assert counts(stock)["tray-2"] == 1
    assert "0.3 mm before, 0.03 mm after" in port.told[-1]


def test_left_half_way_it_goes_on_with_what_is_open(
    book: Rulebook, van: Path, tmp_path: Path
) -> None:
    stock = write_stock(tmp_path)
    for stop in range(len(WHOLE)):
        path = van.with_name(f"van-{stop}.yaml")
        path.write_bytes(van.read_bytes().replace(b'"van"', f'"van-{stop}"'.encode()))
        first, case = close(book, path, [*WHOLE[:stop], "/stop"])
        assert first.told[-1] == f"advisor close {path}"
        kept = case.closing
        again, case = close(book, path, [])
        assert case.closing == kept
        if case.outcome is not None:
            assert not any(ask.startswith("What was it?") for ask in again.asked)
    assert counts(stock)["tray-2"] == 3


def test_cautions_come_before_the_proof(book: Rulebook, van: Path) -> None:
    port = Shop(["yes", "1", "Rings", "", "0.03 mm"])
    seen_at: list[int] = []
    tell = port.tell

    def note(text: str, tone: object = None) -> None:
        if text.startswith("caution: Check for loose parts"):
            seen_at.append(len(port.asked))
        tell(text, tone)

    port.tell = note  # type: ignore[method-assign]
    run_closing(book, van, port=port, role="technician")
    proof = next(n for n, ask in enumerate(port.asked) if ask.startswith("Proof:"))
    assert seen_at
    assert seen_at[0] <= proof


def test_repair_without_a_cure_is_evidence_and_leaves_the_case_open(
    book: Rulebook, van: Path
) -> None:
    port, case = close(book, van, ["no", "loose-joint, unbalance"])
    assert case.outcome is None
    assert [repair.cause for repair in case.repairs] == ["loose-joint", "unbalance"]
    assert case.closing is not None
    assert case.closing.complaint_gone is None
    assert "repair without a cure" in port.text


@pytest.mark.parametrize(
    ("reply", "reason"),
    [
        ("9", "expected numbers from 1 to"),
        ("lose-joint", 'did you mean "loose-joint"'),
        ("1, none", "ids of causes"),
        ("1 2", "expected numbers"),
    ],
)
def test_unreadable_cause_is_asked_again(
    book: Rulebook, van: Path, reply: str, reason: str
) -> None:
    port, case = close(book, van, ["yes", reply, "none"])
    assert reason in port.text
    assert case.outcome == Result(none_of_the_listed=True)


@pytest.mark.parametrize(
    ("reply", "reason"),
    [
        ("tray-2 4", "holds 3; 4 are to be taken"),
        ("tray-9 1", 'no box "tray-9"'),
        ("tray-2", 'such as "tray-1 2"'),
        ("tray-2 many", 'such as "tray-1 2"'),
        ("tray-2 \u0662", 'such as "tray-1 2"'),
    ],
)
def test_rings_that_are_not_there_are_asked_again(
    book: Rulebook, van: Path, tmp_path: Path, reply: str, reason: str
) -> None:
    stock = write_stock(tmp_path)
    port, case = close(book, van, ["yes", "1", "Rings", reply, "box: 3 1"], stock)
    assert reason in port.text
    assert [(use.box, use.count) for use in case.closing.rings if case.closing] == [("box: 3", 1)]  # type: ignore[union-attr]
    assert counts(stock) == {"tray-1": 12, "tray-2": 3, "box: 3": 0}


@pytest.mark.parametrize(
    ("replies", "kept"),
    [
        (["0.03 thou of", "0.03 mm"], "0.03 mm"),
        (["9 mm", "no", "0.03 mm"], "0.03 mm"),
        (["9 mm", "yes"], "9 mm"),
        (["?"], "?"),
    ],
    ids=["unreadable", "implausible", "implausible and right", "nobody knows"],
)
def test_reading_after_the_work_is_checked_like_any_answer(
    book: Rulebook, van: Path, replies: list[str], kept: str
) -> None:
    _, case = close(book, van, ["yes", "1", "Rings", "", *replies])
    assert case.closing is not None
    assert case.closing.latest_after() == {"play": kept}


@pytest.mark.parametrize("reply", ["-3", "an hour", "1e5", "99999999", "nan"])
def test_minutes_are_a_number_that_can_be(book: Rulebook, van: Path, reply: str) -> None:
    port, case = close(book, van, ["yes", "none", "A tyre", "", reply, "12.5"])
    assert "expected minutes from 0 to" in port.text
    assert case.closing is not None
    assert case.closing.minutes == 12.5


def test_ctrl_c_keeps_every_reply(book: Rulebook, van: Path) -> None:
    with pytest.raises(Interrupted):
        close(book, van, ["yes", "1", "Rings", CTRL_C])
    case = read_case(van)
    assert case.closing is not None
    assert (case.closing.work, case.outcome) == ("Rings", Result(causes=("loose-joint",)))


@pytest.mark.parametrize(
    ("lines", "right"),
    [(["yes"], "yes"), (["n"], "no"), ([""], "dont-know"), ([], "dont-know")],
    ids=["yes", "no", "Enter", "end of input"],
)
def test_whether_it_was_ever_right_is_asked(lines: list[str], right: str) -> None:
    assert ask_ever_right(Shop(lines)) == right


def test_stock_that_cannot_be_read_keeps_nobody_from_closing(
    book: Rulebook, van: Path, tmp_path: Path
) -> None:
    stock = write_stock(tmp_path)
    close(book, van, ["yes", "1", "Rings", "tray-2 2", "/stop"], stock)
    text = van.read_text(encoding="utf-8")
    van.write_text(text.replace("    booked: true\n", ""), encoding="utf-8")
    stock.write_text("rings: [\n", encoding="utf-8")
    port, case = close(book, van, [*[""] * 7, "30"], stock)
    assert "warning: " in port.told[0]
    assert case.closing is not None
    assert case.closing.minutes == 30.0
    assert not case.closing.rings[0].booked
