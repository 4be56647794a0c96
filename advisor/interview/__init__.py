"""The interview: a conversation over one case, in a terminal or as plain lines."""

from __future__ import annotations

import os
import shlex
import sys
from pathlib import Path

from advisor.cases import CaseLock, new_case, open_case
from advisor.rulebook import Rulebook

from .conversation import Conversation, Interrupted, Render
from .plain import PlainPort
from .port import Fault, Port, Prompt, Tone
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
    "choose_port",
    "run_interview",
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
) -> int:
    """Begin or go on with the case at `case_path`; 0 when it ended, or the person stopped.

    `closed` are questions that can't be answered now; `role` is a key of ROLES; `render` makes
    the closing text from the open case; `resume` is the command that goes on with the case, shown
    on leaving. Raises Interrupted on Ctrl-C (the case is on disk, the person was told), LoadError
    for a case file with mistakes, CaseError when the disk or another program is in the way,
    BrokenPipeError when nobody reads any more.
    """
    who = ROLES[role] if isinstance(role, str) else role
    go_on = f"Go on with: {resume or f'advisor ask {shlex.quote(str(case_path))}'}"
    with CaseLock(case_path) as lock:
        begin = open_case if case_path.exists() else new_case
        session = begin(case_path, rulebook, lock=lock)
        session.closed = closed
        Conversation(session, port, who, render, go_on).run()
    return 0
