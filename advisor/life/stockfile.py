"""Lessening a stock file by rings taken out of it; the author's comments and layout stay."""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final

from advisor.cases import CaseError, ChangedError, RingUse, write_whole
from advisor.cases.store import text_on_disk
from advisor.rulebook import MAX_BYTES, LoadError, did_you_mean, parse_yaml, read_record
from advisor.stock import FORMAT, StockModel

_BREAK: Final = re.compile(r"(\r\n|\r|\n)")
_BYTE_ORDER_MARK: Final = b"\xef\xbb\xbf"
_LEDGER: Final = "# rings taken out for cases; their ids keep them from being counted twice"


class StockError(CaseError):
    """Rings that can't be taken out of the stock as its file stands; nothing was written."""


class StockFile:
    """A stock file as it was read: its boxes, and the uses that it was lessened by."""

    def __init__(self, path: Path) -> None:
        """Raises LoadError when the file can't be understood."""
        self.path = path
        self._document, model = read_record(path, StockModel, "the stock", FORMAT)
        self.uses = frozenset(entry.use for entry in model.taken)

    def thickness(self, box: str) -> str:
        """The thickness of a box's rings, as the file says it; StockError without such a box."""
        return str(self._box(box).get("thickness", ""))

    def check(self, box: str, count: int) -> None:
        """StockError when the box is unknown or holds fewer rings."""
        held = self._count(box)
        if count > held:
            raise StockError(f'box "{box}" of {self.path} holds {held}; {count} are to be taken')

    def lessen(self, uses: Sequence[RingUse], case: str) -> None:
        """Take the rings out of the file, noting each use.

        Raises StockError, WriteError, or ChangedError when the file was changed since it was read.
        """
        lines = _BREAK.split(self._document.text)  # text, break, text, break, ...
        wanted = json.loads(json.dumps(self._document.data))  # no box shares its record
        for box in dict.fromkeys(use.box for use in uses):
            taken = sum(use.count for use in uses if use.box == box)
            self.check(box, taken)
            left = self._count(box) - taken
            wanted["rings"][box]["count"] = left
            self._set_count(lines, box, left)
        entries = [_entry(use, case) for use in uses]
        wanted["taken"] = [*entries, *wanted.get("taken", [])]
        text = self._with_entries(lines, [json.dumps(one, ensure_ascii=False) for one in entries])
        self._check_same(text, wanted)
        data = (self._mark() + text).encode("utf-8")
        write_whole(self.path, data, check=self._check_is_as_read)

    def _check_is_as_read(self) -> None:
        if text_on_disk(self.path) != self._document.text:
            raise ChangedError(self.path)

    def _box(self, name: str) -> dict[str, Any]:
        boxes: dict[str, Any] = self._document.data["rings"]
        box = boxes.get(name)
        if not isinstance(box, dict):
            hint = did_you_mean(name, boxes)
            also = f"; {hint}" if hint else ""
            raise StockError(f'{self.path} has no box "{name}"{also}')
        return box

    def _count(self, box: str) -> int:
        count = self._box(box).get("count")
        if isinstance(count, bool) or not isinstance(count, int):
            raise StockError(f'the count of box "{box}" of {self.path} is no whole number')
        return count

    def _set_count(self, lines: list[str], box: str, count: int) -> None:
        line, start, end = self._document.position_of(("rings", box, "count"))
        at = 2 * (line - 1)
        lines[at] = f"{lines[at][: start - 1]}{count}{lines[at][end - 1 :]}"

    def _with_entries(self, lines: list[str], entries: list[str]) -> str:
        """The text with the entries first in the list "taken", which is made when there is none."""
        after = lines[1] if len(lines) > 1 else "\n"
        if self._document.data.get("taken"):
            line, start, _ = self._document.position_of(("taken", 0))
            at = 2 * (line - 1)
            lead = lines[at][: start - 1]
            lines[at:at] = [part for entry in entries for part in (lead + entry, after)]
            return "".join(lines)
        text = "".join(lines)
        if text and not text.endswith(("\n", "\r")):
            text += after
        new = [_LEDGER, "taken:", *(f"  - {entry}" for entry in entries)]
        return text + "".join(line + after for line in new)

    def _check_same(self, text: str, wanted: Any) -> None:
        """Whether a reader finds in the new text what it should; else the layout is beyond us."""
        if len(text.encode("utf-8")) > MAX_BYTES:
            raise StockError(
                f"{self.path} has grown past the {MAX_BYTES} bytes that can be read again; "
                'take out lines of "taken" whose cases are closed'
            )
        try:
            found = parse_yaml(text, self._document.path).data
        except LoadError:
            found = None
        if found != wanted:
            raise StockError(
                f"{self.path} is laid out so that its counts can't be changed safely; write each "
                'count as a plain number, and "taken" as a list of one line each'
            )

    def _mark(self) -> str:
        """The byte order mark, where the file begins with one."""
        with self.path.open("rb") as file:
            return "\ufeff" if file.read(3) == _BYTE_ORDER_MARK else ""


def _entry(use: RingUse, case: str) -> dict[str, Any]:
    entry = {"use": use.use, "case": case, "box": use.box, "count": use.count}
    return entry if use.at is None else {**entry, "at": use.at}
