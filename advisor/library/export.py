"""Cases as lines of JSON, for other programs: one case a line."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from advisor.cases import CaseFile, write_whole
from advisor.cases.lines import PRIVATE, case_data, case_line
from advisor.life.private import read_private
from advisor.rulebook import LoadError, Problem, Rulebook, TextQuestion

from .errors import LibraryError
from .library import Library


@dataclass(frozen=True, slots=True)
class Exported:
    """The lines, and what went into none of them."""

    lines: tuple[str, ...]
    left_out: tuple[str, ...]
    unreadable: tuple[Problem, ...]

    @property
    def text(self) -> str:
        """All lines, each with its end."""
        return "".join(self.lines)

    @property
    def summary(self) -> str:
        """How many cases there are, and what of them was left out."""
        count = len(self.lines)
        rest = f"; left out: {', '.join(self.left_out)}" if self.left_out else ""
        return f"{count} case{'' if count == 1 else 's'} exported{rest}; ids are kept"


def export(
    library: Library, *, closed_only: bool, with_private: bool, with_words: bool
) -> Exported:
    """The cases of a library, sorted by file name.

    Without private data the names of those who answered are left out, too. Without words nothing
    is left of what people wrote freely: vehicle, complaint, notes, work, and answers in text.
    """
    names = sorted(library.select("closed" if closed_only else ""))
    problems = [problem for entry in library.unreadable() for problem in entry.problems]
    lines = []
    for name, case in library.cases(names):
        data = _plain(case, with_private)
        if not with_words:
            data = _without_words(data, library.rulebook)
        if with_private:
            try:
                data[PRIVATE] = _private(library.folder / name)
            except LoadError as error:
                problems += error.problems
        lines.append(case_line(data))
    left_out = ([] if with_private else [_PRIVATE]) + ([] if with_words else [_WORDS])
    return Exported(tuple(lines), tuple(left_out), tuple(problems))


def write_export(path: Path, exported: Exported) -> None:
    """Write the lines into a new file, for its owner alone.

    Raises LibraryError when there is a file already, WriteError when the system refuses.
    """
    try:
        write_whole(path, exported.text.encode("ascii"), mode=0o600, fresh=True)
    except FileExistsError as error:
        raise LibraryError(f"{path} is there already; choose another name") from error


def _plain(case: CaseFile, with_names: bool) -> dict[str, Any]:
    data = case_data(case)
    return data if with_names else _without(data, {"who"})


def _without(data: Any, keys: set[str]) -> Any:
    """The data without these keys of any mapping in it."""
    if isinstance(data, dict):
        return {key: _without(value, keys) for key, value in data.items() if key not in keys}
    if isinstance(data, list):
        return [_without(value, keys) for value in data]
    return data


_PRIVATE: Final = "customers' data and the names of those who worked"
_WORDS: Final = "vehicle, complaint, notes, work, parts, and answers in free words"
_WORDY: Final = {"vehicle", "complaint", "note", "work", "parts", "noted", "result", "who"}
_BLANKED: Final = {"step", "stock", "box"}  # a case can't be read again without them
_BLANK: Final = "-"


def _without_words(data: dict[str, Any], rulebook: Rulebook) -> dict[str, Any]:
    kept: dict[str, Any] = _blanked(_without(data, _WORDY))
    if "answers" in kept:
        kept["answers"] = list(_without_text(kept["answers"], rulebook))
    for key in ("answers", "after"):
        kept.get("retired", {}).pop(key, None)
    if "after" in kept.get("closing", {}):
        kept["closing"]["after"] = list(_without_text(kept["closing"]["after"], rulebook))
    return kept


def _blanked(data: Any) -> Any:
    """The data with a blank in place of the words that a case can't do without."""
    if isinstance(data, dict):
        return {key: _BLANK if key in _BLANKED else _blanked(one) for key, one in data.items()}
    return [_blanked(one) for one in data] if isinstance(data, list) else data


def _without_text(
    records: Sequence[Mapping[str, Any]], rulebook: Rulebook
) -> Iterator[Mapping[str, Any]]:
    """The records but those of questions for text, and of questions that the rulebook lacks."""
    for record in records:
        question = rulebook.questions.get(record["question"])
        if question is not None and not isinstance(question, TextQuestion):
            yield record


def _private(path: Path) -> dict[str, str]:
    """The private data beside the case; they lie in the library's own folder for them."""
    private = read_private(path)
    return {} if private is None else private.as_data()
