"""Case and stock as a pair: rings are never counted twice and never forgotten."""

from __future__ import annotations

import sys
import time
from pathlib import Path

import pytest

from advisor.cases import (
    CaseLock,
    CaseSession,
    InUseError,
    WriteError,
    case_text,
    open_case,
    read_case,
)
from advisor.life import StockError, Wanted, settle, still_wanted, take_rings
from advisor.life import booking as booking_module
from advisor.life import stockfile as stockfile_module
from advisor.rulebook import Rulebook
from tests.life.book import STOCK
from tests.life.test_stockfile import counts

TWO = [Wanted("tray-2", 2)]


def test_rings_stand_in_the_case_and_are_gone_from_the_stock(van: CaseSession, stock: Path) -> None:
    take_rings(van, stock, TWO)
    (use,) = van.closing.rings
    assert (use.box, use.count, use.thickness, use.booked) == ("tray-2", 2, "61.0 thou", True)
    assert counts(stock)["tray-2"] == 1
    assert read_case(van.path) == van.case


@pytest.mark.skipif(sys.platform != "linux", reason="names are text elsewhere")
def test_stock_whose_name_is_no_text_is_booked_and_known_again(
    van: CaseSession, stock: Path, book: Rulebook
) -> None:
    odd = stock.rename(stock.with_name("rings\udcff.yaml"))
    take_rings(van, odd, TWO)
    again = open_case(van.path, book)
    assert again.closing.rings[0].stock == "rings\\xff.yaml"
    assert counts(odd)["tray-2"] == 1


def test_box_of_a_very_long_name_is_booked(van: CaseSession, stock: Path) -> None:
    box = "tray-" + 200 * "after "
    stock.write_text(STOCK.replace("  tray-2:", f'  ? "{box}"\n  :'), encoding="utf-8")
    take_rings(van, stock, [Wanted(box, 2)])
    assert counts(stock)[box] == 1
    assert read_case(van.path) == van.case


def test_too_many_rings_change_neither_case_nor_stock(van: CaseSession, stock: Path) -> None:
    before = van.path.read_bytes()
    with pytest.raises(StockError, match="holds 3; 4 are to be taken"):
        take_rings(van, stock, [Wanted("tray-1", 1), Wanted("tray-2", 4)])
    assert (van.path.read_bytes(), stock.read_text(encoding="utf-8")) == (before, STOCK)


def test_killed_before_the_stock_was_written_it_is_written_at_the_next_opening(
    van: CaseSession, stock: Path, book: Rulebook, monkeypatch: pytest.MonkeyPatch
) -> None:
    def killed(*_args: object, **_kwargs: object) -> None:
        raise WriteError(stock, "the disk is full")

    with monkeypatch.context() as patch:
        patch.setattr(stockfile_module, "write_whole", killed)
        with pytest.raises(WriteError):
            take_rings(van, stock, TWO)
    assert counts(stock)["tray-2"] == 3
    again = open_case(van.path, book)
    assert [use.booked for use in again.closing.rings] == [False]
    assert settle(again, stock) == ()
    assert settle(again, stock) == ()
    assert counts(stock)["tray-2"] == 1
    assert [use.booked for use in read_case(van.path).closing.rings] == [True]  # type: ignore[union-attr]


def test_killed_after_the_stock_was_written_it_is_not_written_again(
    van: CaseSession, stock: Path, book: Rulebook
) -> None:
    take_rings(van, stock, TWO)
    text = case_text(van.case).replace("    booked: true\n", "")
    van.path.write_text(text, encoding="utf-8")
    again = open_case(van.path, book)
    assert settle(again, stock) == ()
    assert counts(stock)["tray-2"] == 1
    assert again.closing.rings[0].booked


@pytest.mark.parametrize("named", [None, "other.yaml"], ids=["no stock", "another one"])
def test_rings_of_a_stock_that_is_not_at_hand_are_told_and_kept(
    van: CaseSession, stock: Path, tmp_path: Path, named: str | None
) -> None:
    take_rings(van, stock, TWO)
    van.note_closing(rings=(van.closing.rings[0].model_copy(update={"booked": False}),))
    (warning,) = settle(van, tmp_path / named if named else None)
    assert '2 x 61.0 thou of box "tray-2"' in warning
    assert "--stock .../rings.yaml" in warning
    assert not van.closing.rings[0].booked


def test_rings_that_the_stock_no_longer_holds_are_told_and_kept(
    van: CaseSession, stock: Path
) -> None:
    take_rings(van, stock, TWO)
    pending = van.closing.rings[0].model_copy(update={"booked": False, "use": "another1"})
    van.note_closing(rings=(pending,))
    (warning,) = settle(van, stock)
    assert "holds 1; 2 are to be taken" in warning
    assert not van.closing.rings[0].booked
    assert counts(stock)["tray-2"] == 1


def test_a_total_said_twice_takes_nothing_more(van: CaseSession, stock: Path) -> None:
    assert still_wanted(van.closing, TWO) == tuple(TWO)
    take_rings(van, stock, TWO)
    assert still_wanted(van.closing, TWO) == ()
    assert still_wanted(van.closing, [Wanted("tray-2", 3)]) == (Wanted("tray-2", 1),)
    with pytest.raises(StockError, match="noted in the case already"):
        still_wanted(van.closing, [Wanted("tray-2", 1)])


def test_stock_that_another_program_holds_is_left_alone(
    van: CaseSession, stock: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    waits: list[float] = []
    monkeypatch.setattr(time, "sleep", waits.append)
    with CaseLock(stock), pytest.raises(InUseError):
        take_rings(van, stock, TWO)
    assert len(waits) == booking_module.TRIES - 1
    assert van.case.closing is None
    assert stock.read_text(encoding="utf-8") == STOCK
