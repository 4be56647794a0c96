"""The interview: a conversation over one case, in a terminal or as plain lines."""

from __future__ import annotations

import os
import sys
from pathlib import Path

from advisor.cases import CaseError, CaseLock, CaseSession, InUseError, new_case, open_case
from advisor.layout import command
from advisor.life import EverRight, settle
from advisor.rulebook import LoadError, Rulebook

from .asking import Stopped
from .closing import Closer
from .conversation import Conversation, Interrupted, Render
from .freewords import ask_words, ask_yes_no
from .plain import PlainPort
from .port import Fault, Port, Prompt, Tone, tell_how_to_go_on
from .roles import ROLES, Role

__all__ = [
    "ROLES",
    "Conversation",
    "Fault",
    "Interrupted",
    "PlainPort",
    "Port",
    "Prompt",
    "Render",
    "Role",
    "Tone",
    "ask_ever_right",
    "ask_words",
    "choose_port",
    "run_closing",
    "run_interview",
    "tell_how_to_go_on",
]


def choose_port(*, plain: bool = False) -> Port:
    """Plain lines on request, in a pipe, or in a dumb terminal; else the terminal port."""
    dumb = os.environ.get("TERM", "") in {"dumb", "unknown"}
    if plain or dumb or not (sys.stdin.isatty() and sys.stdout.isatty()):
        return PlainPort()
    from .terminal import TerminalPort  # noqa: PLC0415

    return TerminalPort()


def run_interview(  # noqa: PLR0913 - one call for the whole interview
    rulebook: Rulebook,
    case_path: Path,
    *,
    port: Port,
    role: str | Role,
    render: Render,
    resume: str | None = None,
    closed: frozenset[str] = frozenset(),
    by: str | None = None,
    private: bool = False,
    stock: Path | None = None,
) -> int:
    """Begin or go on with the case at `case_path`; 0 when it ended, or the person stopped.

    `closed` are questions that can't be answered now; `role` is a key of ROLES; `render` makes
    the closing text from the open case; `resume` is the command that goes on with the case, shown
    on leaving; `by` is a name to keep beside the role; with `private` the customer's own data are
    asked for; `stock` is the stock file, for rings that a killed program left half booked. Raises
    Interrupted on Ctrl-C (the case is on disk, the person was told), LoadError for a case file
    with mistakes, CaseError when the disk or another program is in the way, BrokenPipeError when
    nobody reads any more.
    """
    who = ROLES[role] if isinstance(role, str) else role
    go_on = resume or command("ask", case_path)
    try:
        with CaseLock(case_path) as lock:
            begin = open_case if case_path.exists() else new_case
            session = begin(case_path, rulebook, lock=lock)
            session.closed = closed
            session.who = by
            _settle(session, port, stock)
            Conversation(session, port, who, render, go_on, private=private).run()
    except InUseError as error:
        if error.while_open or not _wants_to_read(port, error):
            raise
        port.tell(render(open_case(case_path, rulebook)))
    return 0


def _wants_to_read(port: Port, error: InUseError) -> bool:
    """Whether to show the case that another program has, without writing anything."""
    try:
        return bool(ask_yes_no(port, f"{error}\nShow it as it stands, without answering?"))
    except (EOFError, Stopped):
        return False


def _settle(session: CaseSession, port: Port, stock: Path | None) -> None:
    """Finish the booking of rings; a stock that can't be had now keeps nobody from asking."""
    try:
        warnings = settle(session, stock)
    except (CaseError, LoadError) as error:
        warnings = (str(error),)
    for warning in warnings:
        port.tell(f"warning: {warning}", Tone.PROBLEM)


def run_closing(  # noqa: PLR0913 - one call for the whole closing
    rulebook: Rulebook,
    case_path: Path,
    *,
    port: Port,
    role: str,
    by: str | None = None,
    stock: Path | None = None,
    resume: str | None = None,
) -> int:
    """Close the case at `case_path` in a conversation; 0 when it ended, or the person stopped.

    Raises what `run_interview` raises.
    """
    go_on = resume or command("close", case_path)
    with CaseLock(case_path) as lock:
        session = open_case(case_path, rulebook, lock=lock)
        session.who = by
        for line in session.warnings:
            port.tell(f"warning: {line}", Tone.PROBLEM)
        _settle(session, port, stock)
        try:
            Closer(session, port, ROLES[role], stock).run()
        except (Stopped, EOFError):
            tell_how_to_go_on(port, "saved", go_on)
        except KeyboardInterrupt:
            tell_how_to_go_on(port, "interrupted; every reply is saved", go_on)
            raise Interrupted from None
    return 0


def ask_ever_right(port: Port) -> EverRight:
    """Whether the vehicle was ever right after the repair: yes, no or dont-know."""
    try:
        right = ask_yes_no(port, "Was it ever right after the repair?")
    except (EOFError, Stopped):
        right = None
    return "dont-know" if right is None else "yes" if right else "no"
