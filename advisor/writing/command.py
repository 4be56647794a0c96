"""The verb as a whole: ask, show, try on a copy, write."""

from __future__ import annotations

import os
import re
import secrets
import shutil
from pathlib import Path

from advisor.interview import Fault, Port, Tone, tell_how_to_go_on
from advisor.layout import command
from advisor.proof import FOLDER
from advisor.rulebook import load, shipped, system_reason

from .changes import Changes, Trial, example_ids, files_of
from .dialogue import BACK, STOP, Back, Dialogue, Stopped
from .draft import Draft, open_draft
from .examples import ExampleGuide
from .fields import Fields
from .guides import GUIDES, Guide
from .insertion import CannotInsertError
from .world import Record, World
from .yamltext import record_text

_FILE = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*\.yaml")
_ANEW, _GO_ON, _WRITE = "anew", "go on", "write"
_PROGRAM = Path(__file__).resolve().parents[1]


class CopyError(Exception):
    """The shipped rulebook cannot be copied there; the text says why."""


def is_programs_own(folder: Path) -> bool:
    """Whether the folder belongs to the installed program, whose next version overwrites it."""
    return folder.resolve().is_relative_to(_PROGRAM)


def copy_shipped(target: Path) -> str:
    """Copy the shipped rulebook into a new folder; gives what to do next.

    Raises CopyError. The folder is there whole or not at all.
    """
    if os.path.lexists(target):
        raise CopyError(f"{target}: is there already; name a folder that does not exist yet")
    try:
        _copy_folder(shipped(), target)
    except OSError as error:
        reason = system_reason(error)
        raise CopyError(f"{target}: cannot be copied: {reason}") from error
    return (
        f"{target}: a copy of the shipped rulebook, yours to change\n"
        f"for an editor: {command('schema', '--write', target.parent / 'schema')}\n"
        f"a first rule: {command('new', 'cause', '--rulebook', target)}"
    )


def _copy_folder(folder: Path, target: Path) -> None:
    """Copy files and sub-folders under another name first; OSError when the system refuses."""
    new = target.with_name(f".{target.name}.{secrets.token_hex(8)}.new")
    try:
        new.mkdir()
        for path in sorted(folder.rglob("*")):
            there = new / path.relative_to(folder)
            if path.is_dir():
                there.mkdir()
            else:
                shutil.copyfile(path, there)
        new.rename(target)
    except BaseException:
        shutil.rmtree(new, ignore_errors=True)
        raise


def write_new(what: str, folder: Path, port: Port, resume: str) -> None:
    """Ask for a record of this kind and write it into the rulebook's files.

    `resume` is the command that goes on later. Nothing is written but the draft until all has
    been answered, tried and agreed to. Raises LoadError for a rulebook with mistakes, DraftError
    and WriteRefusedError; KeyboardInterrupt after the person was told.
    """
    rulebook = load(folder)
    taken = example_ids(folder)
    draft = open_draft(folder, what)
    port.tell(f"Every question takes {STOP}, {BACK} and /help. Nothing is written before the end.")
    dialogue = Dialogue(port, draft)
    try:
        _offer_draft(dialogue, draft)
        while True:
            try:
                dialogue.begin()
                _Sitting(what, folder, dialogue, World(rulebook, taken)).run()
            except Back:
                continue
            draft.remove()
            return
    except (Stopped, EOFError):
        _tell_what_is_left(port, draft, resume)
    except KeyboardInterrupt:
        _tell_what_is_left(port, draft, resume)
        raise


def _tell_what_is_left(port: Port, draft: Draft, resume: str) -> None:
    if not draft.answers:
        port.tell("stopped; nothing was written")
        return
    count = len(draft.answers)
    kept = f"{count} answer{'' if count == 1 else 's'} kept in {draft.path}"
    tell_how_to_go_on(port, f"stopped; no rule was written, {kept}", resume)


def _offer_draft(dialogue: Dialogue, draft: Draft) -> None:
    """Whether to go on with answers of an earlier sitting."""
    kept = draft.answers
    if not kept:
        return

    def check(typed: str) -> Fault | None:
        known = typed in (_ANEW, _GO_ON)
        return None if known else Fault(f'read "{typed}"; write {_GO_ON} or {_ANEW}')

    draft.answers = []
    text = (
        f'{len(kept)} answers of an earlier sitting are kept. Enter goes on, "{_ANEW}" drops them'
    )
    try:
        anew = dialogue.peek(text, check, _GO_ON) == _ANEW
    finally:
        draft.answers = kept
    if anew:
        draft.answers = []
        draft.save()


class _Sitting:
    """One way through all questions, up to the writing."""

    def __init__(self, what: str, folder: Path, dialogue: Dialogue, world: World) -> None:
        self._what = what
        self._folder = folder
        self._dialogue = dialogue
        self._world = world
        self._fields = Fields(dialogue, world)

    def run(self) -> None:
        made = GUIDES[self._what](Guide(self._dialogue, self._world))
        example = self._example(made)
        changes = self._changes(made, example)
        trial = changes.tried(example[0] if example else None)
        self._tell(trial)
        if trial.failed:
            self._dialogue.tell("It would not load, so it cannot be written", Tone.PROBLEM)
        self._agree(may_write=not trial.failed)
        changes.write()
        for file in changes.texts:
            self._dialogue.port.tell(f"written: {self._folder / file}")
        self._dialogue.port.tell(self._next())

    def _agree(self, *, may_write: bool) -> None:
        """Return when it may be written; this last answer is not kept, so it is asked again."""

        def check(typed: str) -> Fault | None:
            wanted = f'read "{typed}"; {BACK} changes an answer, {STOP} leaves'
            return None if may_write and typed == _WRITE else Fault(wanted)

        text = f'"{_WRITE}" writes it' if may_write else "It is not written yet"
        self._dialogue.peek(f"{text}; {BACK} changes the last answer, {STOP} leaves", check)

    def _example(self, made: str) -> tuple[str, Record] | None:
        if self._what not in ("cause", "finding"):
            return None
        finding = next(name for section, name in self._world.made if section == "findings")
        cause = made if self._what == "cause" else None
        return ExampleGuide(self._fields).example(finding, cause)

    def _changes(self, made: str, example: tuple[str, Record] | None) -> Changes:
        """The changes, in a file that can take them; the YAML is shown."""
        while True:
            file = self._file(made)
            changes = Changes(self._folder)
            try:
                for (section, name), record in self._world.made.items():
                    changes.add(Path(file), section, name, record)
                if example:
                    changes.add(Path(FOLDER) / file, "examples", *example)
            except CannotInsertError as error:
                self._dialogue.tell(str(error), Tone.PROBLEM)
                continue
            self._show(file, example)
            return changes

    def _file(self, made: str) -> str:
        known = files_of(self._folder)

        def check(typed: str) -> Fault | None:
            if typed in known or _FILE.fullmatch(typed):
                return None
            return Fault(f'read "{typed}"; a file is named such as my-rules.yaml')

        text = "Into which file of the rulebook? One that is there, or a new one"
        help_text = f"There are: {', '.join(known)}"
        default = self._home() or f"{made}.yaml"
        return self._dialogue.ask(
            text, check, help_text=help_text, default=default, words=tuple(known)
        )

    def _home(self) -> str | None:
        """The file of the first known record that the new ones name: its test, or its cause."""
        items = self._world.rulebook.items
        for record in self._world.made.values():
            names = [("tests", record.get("confirm", ""))]
            names += [("causes", name) for name in record.get("with", ())]
            for place in names:
                if place in items:
                    return Path(items[place].document.path).name
        return None

    def _show(self, file: str, example: tuple[str, Record] | None) -> None:
        tell = self._dialogue.tell
        tell(f"This goes into {file}:", Tone.HEADING)
        section = ""
        for (where, name), record in self._world.made.items():
            tell((f"{where}:\n" if where != section else "") + record_text(name, record).rstrip())
            section = where
        if example:
            tell(f"And into {FOLDER}/{file}:", Tone.HEADING)
            tell(f"examples:\n{record_text(*example).rstrip()}")

    def _tell(self, trial: Trial) -> None:
        tell = self._dialogue.tell
        tell("Tried on a copy of the rulebook:", Tone.HEADING)
        for problem in trial.problems:
            tell(str(problem), Tone.PROBLEM)
        if not trial.problems:
            tell("- the check finds nothing new")
        if trial.proof:
            tell(f"- the example does not come out as expected:\n{trial.proof}", Tone.PROBLEM)
        elif not trial.failed and self._what in ("cause", "finding"):
            tell("- the example comes out as expected")

    def _next(self) -> str:
        if self._what in ("cause", "finding"):
            return (
                f"next: {command('prove', '--rulebook', self._folder)} runs all examples; "
                "add a near miss, and raise the version in rulebook.yaml"
            )
        new = command("new", "finding", "--rulebook", self._folder)
        return f"next: {new} makes use of the answer"
