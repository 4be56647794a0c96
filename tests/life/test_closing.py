"""Closing in one go: all is checked before anything is written; said again, nothing changes."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.cases import CaseSession, Result, read_case
from advisor.life import ClosingError, ClosingWords, StockError, close_case, read_words
from tests.life.book import STOCK
from tests.life.test_stockfile import counts

LOOSE = Result(causes=("loose-joint",))
WORDS = {
    "work": "Thicker  rings\nfitted",
    "parts": ["a seal"],
    "rings": ["tray-2=2"],
    "after": ["play=1 thou"],
    "proof": ["1=quiet", "2=not-done"],
    "noted": ["2=1.54 mm both"],
    "complaint_gone": True,
    "minutes": 45.0,
}


def read(**words: object) -> ClosingWords:
    return read_words(**words)  # type: ignore[arg-type]


def test_all_that_was_said_is_kept(van: CaseSession, stock: Path) -> None:
    close_case(van, LOOSE, read(**WORDS), stock)
    case = read_case(van.path)
    closing = case.closing
    assert closing is not None
    assert (case.outcome, closing.parts) == (LOOSE, ("a seal",))
    assert closing.work == "Thicker rings fitted"
    assert closing.latest_after() == {"play": "1 thou"}
    assert [(one.step, one.done, one.result) for one in closing.proof] == [
        ("Measure again.", True, "quiet"),
        ("Drive the same road.", False, None),
    ]
    assert [(one.what, one.words) for one in closing.noted] == [("ring thickness", "1.54 mm both")]
    assert (closing.complaint_gone, closing.minutes) == (True, 45.0)
    assert counts(stock)["tray-2"] == 1


def test_saying_it_again_adds_and_takes_nothing(van: CaseSession, stock: Path) -> None:
    close_case(van, LOOSE, read(**WORDS), stock)
    before = van.path.read_bytes(), stock.read_bytes()
    close_case(van, LOOSE, read(**WORDS), stock)
    assert (van.path.read_bytes(), stock.read_bytes()) == before


@pytest.mark.parametrize(
    ("words", "reason"),
    [
        ({"after": ["pley=1 thou"]}, 'did you mean "play"'),
        ({"after": ["play=1 furlong"]}, 'no answer to "play"'),
        ({"after": ["play"]}, 'write it as joint-end-play="0.03 mm"'),
        ({"after": ["play=1 mm", "play=2 mm"]}, "twice"),
        ({"proof": ["3=quiet"]}, "known here: 1: Measure again.; 2: Drive the same road."),
        ({"proof": ["one=quiet"]}, "expected a number from 1"),
        ({"noted": ["9=x"]}, "--noted 9 stands for nothing"),
        ({"rings": ["tray-2=0"]}, "expected a number from 1"),
        ({"rings": ["tray-2=9" + "9" * 50]}, "expected a number from 1"),
        ({"rings": ["tray-2=\u0662"]}, "expected a number from 1"),
        ({"minutes": -1.0}, "--minutes must be 0"),
        ({"minutes": float("nan")}, "--minutes must be 0"),
        ({"work": "x" * 100_000}, "at most 1000 can be kept"),
        ({"parts": ["x" * 1001]}, "at most 1000 can be kept"),
        ({"after": ["play=" + "1" * 100_000]}, "write it as"),
    ],
    ids=lambda value: str(value)[:30],
)
def test_what_cannot_be_so_is_refused_and_nothing_written(
    van: CaseSession, stock: Path, words: dict[str, object], reason: str
) -> None:
    before = van.path.read_bytes()
    with pytest.raises(ClosingError) as caught:
        close_case(van, LOOSE, read(**{"rings": ["tray-2=2"], **words}), stock)
    assert reason in str(caught.value)
    assert (van.path.read_bytes(), stock.read_text(encoding="utf-8")) == (before, STOCK)


@pytest.mark.parametrize(
    ("rings", "with_stock", "error"),
    [(["tray-2=4"], True, StockError), (["tray-2=1"], False, ClosingError)],
    ids=["too many", "no stock"],
)
def test_rings_that_cannot_be_taken_leave_the_case_open(
    van: CaseSession, stock: Path, rings: list[str], with_stock: bool, error: type[Exception]
) -> None:
    with pytest.raises(error):
        close_case(van, LOOSE, read(rings=rings), stock if with_stock else None)
    assert read_case(van.path).outcome is None


def test_unsaid_things_stay_as_they_were(van: CaseSession) -> None:
    close_case(van, LOOSE, read(work="Rings", minutes=5.0, proof=["1=quiet"]), None)
    close_case(van, Result(none_of_the_listed=True), read(), None)
    closing = read_case(van.path).closing
    assert closing is not None
    assert (closing.work, closing.minutes, len(closing.proof)) == ("Rings", 5.0, 1)


@pytest.mark.parametrize(
    "text",
    [
        "<script>alert(1)</script>",
        "\x1b[2Jgone\x07\x00",
        "\u202eright to left\u202c",
        "\U0001f527 spanner \U0001f468\u200d\U0001f527",
        'a "quote", a \\ and a: colon # hash',
        "\udcff half a pair",
        "l1\nl2\r\nl3\u2028l4\tl5",
    ],
    ids=["script", "control", "right-to-left", "emoji", "YAML", "surrogate", "lines"],
)
def test_any_words_are_kept_as_data_and_read_again(van: CaseSession, text: str) -> None:
    close_case(van, LOOSE, read(work=text, parts=[text], proof=[f"1={text}"]), None)
    closing = read_case(van.path).closing
    assert closing == van.closing
    assert closing is not None
    assert closing.work is not None
    assert closing.work.isprintable()
    assert closing.proof[0].result == closing.parts[0] == closing.work
