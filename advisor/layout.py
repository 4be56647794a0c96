"""Text for a window: free of control characters, wrapped to its width, a caret under a fault."""

from __future__ import annotations

import shlex
import unicodedata
from collections.abc import Iterator, Sequence
from pathlib import Path

NARROWEST = 20
_CARET_LEAD = 2
_BAR = " | "
_CUT = ".."
_SHORT_PART = 10  # columns of a cause when two are shown: "45 % A ty.."
_FAIR_PART = 18  # columns of a cause for a third one to be shown: "45 % A tyre is o.."


def clean(text: str) -> str:
    """The text without what could steer a terminal: control and direction characters.

    Line ends stay, a tab becomes a blank. Text from people passes through here before it is shown.
    """
    return "".join(_shown(character) for character in text.replace("\r\n", "\n"))


def command(*words: str | Path) -> str:
    """A command of this program, to be pasted into a shell; no path is taken for an option."""
    return shlex.join(("advisor", *(_word(word) for word in words)))


def _word(word: str | Path) -> str:
    text = str(word)
    return f"./{text}" if isinstance(word, Path) and text.startswith("-") else text


def clean_line(text: str) -> str:
    """The same on one line, without blanks at the ends."""
    return " ".join(clean(text).split())


def _shown(character: str) -> str:
    if character == "\n":
        return character
    if character == "\t":
        return " "
    # Cc: control; Cf: direction marks and other unseen; Cs: half of a pair; Zl, Zp: line ends
    hidden = unicodedata.category(character) in {"Cc", "Cf", "Cs", "Zl", "Zp"}
    return "" if hidden else character


def cells(text: str) -> int:
    """How many columns of a terminal the text takes."""
    return sum(_cells_of(character) for character in text)


def _cells_of(character: str) -> int:
    if unicodedata.combining(character):
        return 0
    return 2 if unicodedata.east_asian_width(character) in {"W", "F"} else 1


def wrap(text: str, width: int) -> str:
    """The text in lines of at most `width` columns (at least NARROWEST).

    Line ends stay, each line keeps its indent, and a list item ("- ", "2. ") hangs under its text.
    A no-break space holds two words together and comes out as a blank.
    """
    width = max(width, NARROWEST)
    lines = (part for line in text.split("\n") for part in _wrap_line(line, width))
    return "\n".join(lines).replace("\u00a0", " ")


def _wrap_line(line: str, width: int) -> Iterator[str]:
    if cells(line) <= width:
        yield line.rstrip()
        return
    body = line.lstrip(" ")
    indent = " " * min(len(line) - len(body), width // 4)
    hang = indent + " " * _item_mark(body)
    current, empty = indent, True
    for word in body.split(" "):
        joined = current + word if empty else f"{current} {word}"
        if cells(joined) > width and not empty:
            yield current.rstrip()
            joined = hang + word
        *full, current = _split_long(joined, width)
        yield from full
        empty = False
    yield current.rstrip()


def _item_mark(body: str) -> int:
    mark, blank, _ = body.partition(" ")
    is_item = blank and (mark == "-" or (mark[:-1].isdigit() and mark.endswith(".")))
    return len(mark) + 1 if is_item else 0


def _split_long(text: str, width: int) -> Iterator[str]:
    """Cut a word that is longer than a line."""
    part, used = "", 0
    for character in text:
        if used + _cells_of(character) > width:
            yield part
            part, used = "", 0
        part += character
        used += _cells_of(character)
    yield part


def status_line(parts: Sequence[str], width: int) -> str:
    """The parts on one line: the first whole, as many others as have room to be told apart."""
    shown = [clean_line(part) for part in parts]
    whole = _BAR.join(shown)
    if not shown or cells(whole) <= width:
        return whole
    head, others = shown[0], shown[1:]
    while True:
        room = (width - cells(head)) // max(len(others), 1) - len(_BAR)
        if len(others) <= 1 or room >= (_SHORT_PART if len(others) == 2 else _FAIR_PART):
            return _cut(_BAR.join([head, *(_cut(part, room) for part in others)]), width)
        others.pop()


def _cut(text: str, width: int) -> str:
    """The text, or its beginning and two dots where it is longer than `width` columns."""
    if cells(text) <= width:
        return text
    while text and cells(text) > width - len(_CUT):
        text = text[:-1]
    return f"{text.rstrip()}{_CUT}"


def under_caret(typed: str, position: int, width: int) -> str:
    """Two lines: what was typed, and a caret under `position`; a long text is cut to the window."""
    typed = clean(typed).replace("\n", " ")
    position = min(max(position, 0), len(typed))
    room = max(width, NARROWEST) - _CARET_LEAD - 1
    start = max(position - room, 0)  # no need to count what can't be in the window
    while cells(typed[start:position]) > room:
        start += 1
    end = min(position + room, len(typed))
    while cells(typed[start:end]) > room and end > position:
        end -= 1
    lead = " " * _CARET_LEAD
    return f"{lead}{typed[start:end]}\n{lead}{' ' * cells(typed[start:position])}^"
