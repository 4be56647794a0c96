"""What was answered so far, on disk before the next question, so that one can go on later."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from pathlib import Path

from advisor.cases import replace_file
from advisor.layout import clean_line
from advisor.rulebook import MAX_BYTES, open_ordinary, system_reason

FORMAT = 1


class DraftError(Exception):
    """A draft that cannot be read or written; the text says why and what to do."""


@dataclass(slots=True)
class Draft:
    """The answers to the questions of one kind of record, in order, as typed.

    The file lies in the rulebook folder; its name begins with a dot, so no rulebook reads it.
    """

    path: Path
    answers: list[str] = field(default_factory=list)

    def save(self) -> None:
        """Write the answers; DraftError when the system refuses."""
        data = {"format": FORMAT, "answers": self.answers}
        try:
            replace_file(self.path, f"{json.dumps(data, indent=1)}\n".encode())
        except OSError as error:
            raise DraftError(f"{self.path}: cannot be written: {system_reason(error)}") from error

    def remove(self) -> None:
        """Delete the file, once all is written or nothing is wanted of it."""
        self.path.unlink(missing_ok=True)


def open_draft(folder: Path, what: str) -> Draft:
    """The draft of this kind of record in the folder, empty when there is none; DraftError."""
    path = folder / f".new-{what}.json"
    if path.is_symlink():  # a stranger's rulebook could lead the answers anywhere
        raise DraftError(f"{path}: it is a link, not a draft; delete it")
    try:
        with open_ordinary(path) as file:
            data = json.loads(file.read(MAX_BYTES).decode("utf-8"))
        answers = data["answers"]
        if (
            data["format"] != FORMAT
            or not isinstance(answers, list)
            or not all(map(_fits, answers))
        ):
            raise ValueError
        return Draft(path, answers)
    except FileNotFoundError:
        return Draft(path)
    except OSError as error:
        raise DraftError(f"{path}: cannot be read: {system_reason(error)}") from error
    except (ValueError, KeyError, TypeError, RecursionError) as error:
        reason = "it is no draft that this program understands; delete it and begin anew"
        raise DraftError(f"{path}: {reason}") from error


def _fits(answer: object) -> bool:
    """Whether it is a text as typing it would have given."""
    return isinstance(answer, str) and clean_line(answer) == answer
