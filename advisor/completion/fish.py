"""Completion for fish."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from .words import Kind, Values, Verb

_HEAD: Final = """\
# Completion of advisor for fish: advisor completion fish | source
complete -c advisor -f
function __advisor_ids
    set -l words (commandline -op)
    $words[1] complete-words $argv[1] -- $words[2..-1] 2>/dev/null
end"""


def fish_script(verbs: Sequence[Verb]) -> str:
    """The script: one line for each verb, option and place."""
    whole, *others = verbs
    lines = [_HEAD, *_lines(whole, "__fish_use_subcommand")]
    for verb in others:
        where = "-n __fish_use_subcommand"
        lines.append(f"complete -c advisor {where} -a {verb.name} -d {_quoted(verb.meaning)}")
    for verb in others:
        lines += _lines(verb, _quoted(f"__fish_seen_subcommand_from {verb.name}"))
    return "\n".join(lines) + "\n"


def _lines(verb: Verb, condition: str) -> Iterator[str]:
    start = f"complete -c advisor -n {condition}"
    for option in verb.options:
        flags = " ".join(_flag(flag) for flag in option.flags)
        yield f"{start} {flags}{_taken(option.values)} -d {_quoted(option.meaning)}"
    for place in verb.places:
        offered = _offered(place.values)
        if offered:
            yield f"{start}{offered}"


def _flag(flag: str) -> str:
    return f"-l {flag[2:]}" if flag.startswith("--") else f"-s {flag[1:]}"


def _taken(values: Values) -> str:
    """The value that an option takes."""
    return "" if values.kind is Kind.NOTHING else f" -r{_offered(values) or ' -f'}"


def _offered(values: Values) -> str:
    if values.kind is Kind.WORDS:
        return f" -f -a {_quoted(' '.join(values.words))}"
    if values.kind is Kind.IDS:
        return f" -f -a {_quoted(f'(__advisor_ids {values.ids})')}"
    if values.kind is Kind.FOLDER:
        return " -f -a '(__fish_complete_directories)'"
    return " -F" if values.kind is Kind.FILE else ""


def _quoted(text: str) -> str:
    r"""In single quotes, where fish knows \\ and \' alone."""
    return "'" + text.replace("\\", "\\\\").replace("'", "\\'") + "'"
