"""Completion for zsh."""

from __future__ import annotations

import shlex
from collections.abc import Iterator, Sequence
from typing import Final

from .words import Kind, Option, Place, Values, Verb

_FRAME: Final = """\
#compdef advisor
# Completion of advisor for zsh: eval "$(advisor completion zsh)", after compinit
_advisor_ids() {{
    local -a found
    found=(${{(f)"$($advisor_program complete-words $argv[-1] -- "${{(@Q)words}}" 2>/dev/null)"}})
    compadd "${{@[1,-2]}}" -- $found
}}

_advisor() {{
    local advisor_program=${{(Q)words[1]}} curcontext=$curcontext state line
    typeset -A opt_args
    local -a verbs
    verbs=(
{verbs}
    )
    _arguments -C {whole} '1:verb:->verb' '*::word:->rest'
    case $state in
        verb) _describe -t verbs verb verbs ;;
        rest)
            case $words[1] in
{cases}
            esac ;;
    esac
}}

if [[ $funcstack[1] == _advisor ]]; then
    _advisor "$@"
else
    compdef _advisor advisor
fi
"""


def zsh_script(verbs: Sequence[Verb]) -> str:
    """The script, which works sourced as well as from a folder of `fpath`."""
    whole, *others = verbs
    names = (shlex.quote(f"{one.name}:{_meaning(one.meaning)}") for one in others)
    return _FRAME.format(
        verbs="\n".join(f"        {one}" for one in names),
        whole=" ".join(_specs(whole)),
        cases="\n".join(map(_case, others)),
    )


def _case(verb: Verb) -> str:
    lines = (f"                    {one}" for one in _specs(verb))
    return (
        f"                {verb.name})\n"
        + " \\\n".join(("                    _arguments -s", *lines))
        + " ;;"
    )


def _specs(verb: Verb) -> Iterator[str]:
    for option in verb.options:
        yield from _option_specs(option)
    for place in verb.places:
        yield _place_spec(place)


def _option_specs(option: Option) -> Iterator[str]:
    """One word of `_arguments` for each spelling of the option."""
    others = "" if option.repeats or len(option.flags) == 1 else f"({' '.join(option.flags)})"
    for flag in option.flags:
        equals = "=" if flag.startswith("--") and option.values.kind is not Kind.NOTHING else ""
        head = f"{'*' if option.repeats else others}{flag}{equals}[{_meaning(option.meaning)}]"
        value = "" if option.values.kind is Kind.NOTHING else f":value:{_action(option.values)}"
        yield shlex.quote(head + value)


def _place_spec(place: Place) -> str:
    name = _meaning(place.name)
    return shlex.quote(f"{'*' if place.repeats else ''}:{name}:{_action(place.values)}")


def _action(values: Values) -> str:
    return {
        Kind.WORDS: f"({' '.join(values.words)})",
        Kind.FILE: "_files",
        Kind.FOLDER: "_files -/",
        Kind.IDS: f"_advisor_ids {values.ids}",
    }.get(values.kind, " ")


def _meaning(text: str) -> str:
    """The text without the signs that mean something to `_arguments`."""
    for sign in "\\:[]":
        text = text.replace(sign, f"\\{sign}")
    return text
