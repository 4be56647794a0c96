"""Asking for something that is no question of the rulebook: a few words, a number, a choice."""

from __future__ import annotations

from collections.abc import Callable

from advisor.cases import LONGEST_ANSWER
from advisor.layout import clean_line

from .asking import Stopped
from .port import Fault, Port, Prompt, Tone, no_fault
from .words import Word, word_in

_LEAVE = ("/skip", "/stop")


def ask_words(
    port: Port,
    text: str,
    *,
    check: Callable[[str], Fault | None] = no_fault,
    completions: tuple[str, ...] = (),
) -> str | None:
    """What was typed, on one line; None on Enter or "/skip". Raises Stopped on "/stop".

    `check` tells what is wrong with a typed text; it is asked again until nothing is.
    """

    def fault_of(typed: str) -> Fault | None:
        if not typed.strip() or word_in(typed, bare=False) in {Word.SKIP, Word.STOP}:
            return None
        if len(typed) > LONGEST_ANSWER:
            reason = f"read {len(typed)} characters; at most {LONGEST_ANSWER} can be kept"
            return Fault(reason, LONGEST_ANSWER)
        return check(typed)

    prompt = Prompt(text, completions=(*completions, *_LEAVE), check=fault_of)
    while True:
        typed = clean_line(port.ask(prompt))
        word = word_in(typed, bare=False)
        if word is Word.STOP:
            raise Stopped
        if not typed or word is Word.SKIP:
            return None
        fault = fault_of(typed)
        if fault is None:
            return typed
        port.tell(fault.reason, Tone.PROBLEM)


def ask_yes_no(port: Port, text: str) -> bool | None:
    """Yes or no; None on Enter or "/skip"."""

    def check(typed: str) -> Fault | None:
        if typed.strip().casefold() in {"yes", "y", "no", "n"}:
            return None
        return Fault(f'read "{typed.strip()[:40]}"; expected yes, no, or Enter to leave it open')

    typed = ask_words(port, f"{text} (yes, no, or Enter)", check=check, completions=("yes", "no"))
    return None if typed is None else typed.casefold().startswith("y")
