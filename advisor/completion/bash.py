"""Completion for bash, from version 3.2 on."""

from __future__ import annotations

import shlex
from collections.abc import Iterator, Sequence
from typing import Final

from .words import Kind, Values, Verb

# In bash "--stock=FILE" is three words, of which "=" is one.
_FRAME: Final = """\
# Completion of advisor for bash: eval "$(advisor completion bash)"
_advisor() {{
    local current=${{COMP_WORDS[COMP_CWORD]}} verb= place=0 kind= i word
    COMPREPLY=()
    [[ $current == = ]] && current=
    for ((i = 1; i < COMP_CWORD; i++)); do
        word=${{COMP_WORDS[i]}} kind=
        if [[ $word == -* ]]; then
            _advisor_option "$verb" "$word"
            if [[ $kind ]]; then
                [[ ${{COMP_WORDS[i + 1]}} == = && $((i + 1)) -lt $COMP_CWORD ]] && ((i++))
                ((i++))
            fi
        elif [[ -z $verb ]]; then
            verb=$word
        else
            ((place++))
        fi
    done
    if ((i == COMP_CWORD)); then
        kind=
        if [[ $current == -* ]]; then
            _advisor_options "$verb"
        else
            _advisor_place "$verb" "$place"
        fi
    fi
    _advisor_offer "$current"
}}

_advisor_offer() {{
    local found line
    case $kind in
        file) found=$(compgen -f -- "$1") ;;
        folder) found=$(compgen -d -- "$1") ;;
        ids:*) found=$(compgen -W "$("${{COMP_WORDS[0]}}" complete-words "${{kind#ids:}}" \\
            -- "${{COMP_WORDS[@]:1}}" 2>/dev/null)" -- "$1") ;;
        words:*) found=$(compgen -W "${{kind#words:}}" -- "$1") ;;
    esac
    while IFS= read -r line; do
        [[ $line ]] && COMPREPLY+=("$line")
    done <<<"$found"
    if [[ $kind == file || $kind == folder ]] && type compopt &>/dev/null; then
        compopt -o filenames 2>/dev/null
    fi
}}

_advisor_option() {{
    case "$1 $2" in
{option}
    esac
}}

_advisor_options() {{
    case $1 in
{options}
    esac
}}

_advisor_place() {{
    case "$1 $2" in
{place}
    esac
}}

complete -F _advisor advisor
"""


def bash_script(verbs: Sequence[Verb]) -> str:
    """The script; `kind` says what is completed, and is empty for an option without a value."""
    return _FRAME.format(
        option="\n".join(_option_cases(verbs)),
        options="\n".join(_options_cases(verbs)),
        place="\n".join(_place_cases(verbs)),
    )


def _case(pattern: str, values: Values) -> str:
    return f"        {pattern}) kind={shlex.quote(_kind(values))} ;;"


def _kind(values: Values) -> str:
    if values.kind is Kind.WORDS:
        return "words:" + " ".join(values.words)
    return f"ids:{values.ids}" if values.kind is Kind.IDS else values.kind.value


def _option_cases(verbs: Sequence[Verb]) -> Iterator[str]:
    for verb in verbs:
        for option in verb.options:
            if option.values.kind is not Kind.NOTHING:
                pattern = " | ".join(shlex.quote(f"{verb.name} {flag}") for flag in option.flags)
                yield _case(pattern, option.values)


def _options_cases(verbs: Sequence[Verb]) -> Iterator[str]:
    for verb in verbs:
        flags = tuple(option.flags[-1] for option in verb.options)
        yield _case(shlex.quote(verb.name), Values(Kind.WORDS, flags))


def _place_cases(verbs: Sequence[Verb]) -> Iterator[str]:
    names = tuple(verb.name for verb in verbs if verb.name)
    yield _case("' '*", Values(Kind.WORDS, names))
    for verb in verbs:
        for number, place in enumerate(verb.places):
            count = "*" if place.repeats else str(number)
            yield _case(f"{shlex.quote(verb.name + ' ')}{count}", place.values)
