"""Rings taken out of the shop's stock for a case: never counted twice, never forgotten.

First the case says which rings are taken, under an id of their own; then the stock file is
lessened and notes the id in the same writing; then the case says that it is done. Killed anywhere
between, the next opening of the case sees by the id what is left to do.
"""

from __future__ import annotations

import contextlib
import os
import secrets
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from advisor.cases import CaseLock, CaseSession, Closing, InUseError, RingUse

from .stockfile import StockError, StockFile

TRIES = 20
BETWEEN_TRIES_S = 0.1


@dataclass(frozen=True, slots=True)
class Wanted:
    """So many rings out of a box."""

    box: str
    count: int


def still_wanted(closing: Closing, totals: Sequence[Wanted]) -> tuple[Wanted, ...]:
    """What is left to take so that this vehicle has had so many rings of each box in all.

    Said twice, the same total takes nothing more. StockError when more are noted already.
    """
    left = []
    for total in totals:
        noted = sum(use.count for use in closing.rings if use.box == total.box)
        if noted > total.count:
            raise StockError(
                f'{noted} rings of box "{total.box}" are noted in the case already; '
                "put rings that came back into the stock file by hand"
            )
        if noted < total.count:
            left.append(Wanted(total.box, total.count - noted))
    return tuple(left)


def check_rings(stock: Path, wanted: Sequence[Wanted]) -> None:
    """StockError or LoadError when so many rings can't be taken as the stock stands."""
    file = StockFile(stock)
    for one in wanted:
        file.check(one.box, one.count)


def take_rings(session: CaseSession, stock: Path, wanted: Sequence[Wanted]) -> None:
    """Take rings out of the stock for the open case; each box stands once in `wanted`.

    Raises StockError, LoadError or InUseError when nothing was taken; WriteError when the case
    remembers the rings and the stock could not be written: `settle` does that later.
    """
    with _stock_lock(stock):
        file = StockFile(stock)
        for one in wanted:
            file.check(one.box, one.count)
        uses = [
            RingUse(
                use=secrets.token_hex(8),
                stock=_name_of(stock),
                box=one.box,
                count=one.count,
                thickness=file.thickness(one.box),
                at=session.moment(),
            )
            for one in wanted
        ]
        session.note_closing(rings=(*session.closing.rings, *uses))
        file.lessen(uses, session.case.id)
        _mark_booked(session, {use.use for use in uses})


def settle(session: CaseSession, stock: Path | None) -> tuple[str, ...]:
    """Finish what a killed program left undone; warnings about what could not be finished."""
    warnings = []
    for use in session.closing.rings:
        if use.booked:
            continue
        if stock is None or use.stock != _name_of(stock):
            warnings.append(_left(use, f'name that file by "--stock .../{use.stock}"'))
            continue
        with _stock_lock(stock):
            file = StockFile(stock)
            try:
                if use.use not in file.uses:
                    file.lessen([use], session.case.id)
            except StockError as error:
                warnings.append(_left(use, str(error)))
                continue
            _mark_booked(session, {use.use})
    return tuple(warnings)


def _name_of(stock: Path) -> str:
    """The name of the file as text, whatever bytes it is made of."""
    return os.fsencode(stock.name).decode("utf-8", "backslashreplace")


def _left(use: RingUse, why: str) -> str:
    return (
        f'{use.count} x {use.thickness} of box "{use.box}" are noted in the case and not yet taken '
        f"out of {use.stock}: {why}"
    )


def _mark_booked(session: CaseSession, ids: set[str]) -> None:
    session.note_closing(
        rings=tuple(
            use.model_copy(update={"booked": True}) if use.use in ids else use
            for use in session.closing.rings
        )
    )


@contextlib.contextmanager
def _stock_lock(stock: Path) -> Iterator[None]:
    """The stock for ourselves; another program has it only for the moment of writing."""
    lock = CaseLock(stock)
    for left in reversed(range(TRIES)):
        try:
            lock.__enter__()
        except InUseError:
            if not left:
                raise
            time.sleep(BETWEEN_TRIES_S)
        else:
            break
    try:
        yield
    finally:
        lock.__exit__(None, None, None)
