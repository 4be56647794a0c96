"""The verbs for the shell."""

from __future__ import annotations

import argparse

from advisor.arguments import parser

from .output import DONE


def completion(options: argparse.Namespace) -> int:
    from advisor.completion import script

    print(script(options.shell, parser()), end="")
    return DONE


def complete_words(options: argparse.Namespace) -> int:
    from advisor.completion import ids_of

    for word in ids_of(options.source):
        print(word)
    return DONE
