"""The new texts of a rulebook's files, tried on a copy before any of them is written."""

from __future__ import annotations

import contextlib
import shutil
import tempfile
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import partial
from pathlib import Path

from advisor.cases import replace_file
from advisor.checking import examine
from advisor.proof import FOLDER, Proof, proof_text, read_examples, run_example
from advisor.rulebook import LoadError, Problem, load, open_ordinary, read_yaml, system_reason

from .insertion import with_record
from .world import Record

SCHEMA_LINE = "# yaml-language-server:"


class WriteRefusedError(Exception):
    """The system refused to write a file of the rulebook; the text says which and why."""


@dataclass(frozen=True, slots=True)
class Trial:
    """What came out of a copy with the changes.

    `problems` are those that the changes bring; `failed` says whether they keep it from loading;
    `proof` is what the new example shows otherwise than expected, "" when it passes.
    """

    problems: tuple[Problem, ...]
    failed: bool
    proof: str


@dataclass(slots=True)
class Changes:
    """New records, by the file that they go to (from the folder) with its whole new text."""

    folder: Path
    texts: dict[Path, str] = field(default_factory=dict)
    _found: dict[Path, str | None] = field(default_factory=dict)

    def add(self, file: Path, section: str, name: str, record: Record) -> None:
        """Put a record into a file; raises CannotInsertError, and LoadError for its mistakes."""
        path = self.folder / file
        text = self.texts.get(file)
        if text is None:
            self._found[file] = _read(path) if path.exists() else None
            text = self._found[file]
        if text is None:
            text = _first_line(path.parent)
        self.texts[file] = with_record(text, path.as_posix(), section, name, record)

    def tried(self, example: str | None) -> Trial:
        """Check a copy of the rulebook with the changes, and run the new example there."""
        with tempfile.TemporaryDirectory() as place:
            copy = Path(place) / self.folder.resolve().name
            _copy(self.folder, copy)
            before = {_without_place(one) for one in _problems(copy)}
            for file, text in self.texts.items():
                (copy / file).parent.mkdir(exist_ok=True)
                (copy / file).write_bytes(text.encode("utf-8"))
            found = [one for one in _problems(copy) if _without_place(one) not in before]
            shown = tuple(self._in_place(one, copy) for one in found)
            failed = any(one.severity.value == "error" for one in found)
            proof = "" if failed or example is None else self._proof(copy, example)
            return Trial(shown, failed, proof)

    def _in_place(self, problem: Problem, copy: Path) -> Problem:
        """The problem as if the changes were written."""
        related = tuple(replace(one, path=self._shown(one.path, copy)) for one in problem.related)
        return replace(problem, path=self._shown(problem.path, copy), related=related)

    def _proof(self, copy: Path, example: str) -> str:
        """How the new example comes out, with the trail of what differs."""
        rulebook = load(copy)
        try:
            read = read_examples(copy / FOLDER, rulebook)
        except LoadError as error:
            text = str(error)
        else:
            mine = tuple(run_example(rulebook, one) for one in read if one.id == example)
            text = proof_text(Proof(rulebook, mine, None, None))
        return self._shown(text, copy)

    def _shown(self, text: str, copy: Path) -> str:
        return text.replace(copy.as_posix(), self.folder.as_posix())

    def write(self) -> None:
        """Write every file whole, or none.

        Raises WriteRefusedError, also when a file was changed meanwhile.
        """
        written: list[Path] = []
        try:
            for file, text in self.texts.items():
                path = self.folder / file
                path.parent.mkdir(exist_ok=True)
                check = partial(self._check_is_as_found, file)
                replace_file(path, text.encode("utf-8"), check=check)
                written.append(file)
        except BaseException as error:
            self._put_back(written)
            if isinstance(error, OSError):
                message = f"{path}: cannot be written: {system_reason(error)}"
                raise WriteRefusedError(message) from error
            raise

    def _check_is_as_found(self, file: Path) -> None:
        path = self.folder / file
        if (_read(path) if path.exists() else None) != self._found[file]:
            message = "was changed meanwhile, so nothing was written; the same command goes on"
            raise WriteRefusedError(f"{path}: {message}")

    def _put_back(self, written: Iterable[Path]) -> None:
        """Undo what was written, as far as the system lets one: half of it proves nothing."""
        for file in written:
            old, path = self._found[file], self.folder / file
            with contextlib.suppress(OSError):
                if old is None:
                    path.unlink()
                else:
                    replace_file(path, old.encode("utf-8"))


def _problems(folder: Path) -> tuple[Problem, ...]:
    return examine(folder).problems


def _without_place(problem: Problem) -> tuple[str, str, str]:
    """A problem by what it says, since lines move when records are put in above."""
    return problem.path, problem.code, problem.message


def _copy(folder: Path, copy: Path) -> None:
    """Copy the rules; the examples that are there are for the proof of all."""
    copy.mkdir()
    for path in _yaml_files(folder):
        shutil.copyfile(path, copy / path.name)


def _yaml_files(folder: Path) -> Iterable[Path]:
    return sorted(folder.glob("*.yaml")) if folder.is_dir() else ()


def _first_line(folder: Path) -> str:
    """The line that tells an editor the schema, as other files of the folder have it."""
    for path in _yaml_files(folder):
        line = _read(path).partition("\n")[0].strip()
        if line.startswith(SCHEMA_LINE):
            return f"{line}\n"
    return ""


def _read(path: Path) -> str:
    """The text with its line ends and byte order mark as they are."""
    with open_ordinary(path) as file:
        return file.read().decode("utf-8")


def files_of(folder: Path) -> Mapping[str, str]:
    """The files of a rulebook that records can be put into."""
    return {path.name: "" for path in _yaml_files(folder) if not path.name.startswith(".")}


def example_ids(folder: Path) -> frozenset[str]:
    """The ids of the examples that are there; LoadError for a file that is no YAML."""
    found: set[str] = set()
    for path in _yaml_files(folder / FOLDER):
        data = read_yaml(path).data
        records = data.get("examples") if isinstance(data, dict) else None
        found.update(records if isinstance(records, dict) else ())
    return frozenset(found)
