"""The completion script of each shell."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Mapping, Sequence
from typing import Final

from .bash import bash_script
from .fish import fish_script
from .words import Verb, verbs_of
from .zsh import zsh_script

SHELLS: Final[Mapping[str, Callable[[Sequence[Verb]], str]]] = {
    "bash": bash_script,
    "fish": fish_script,
    "zsh": zsh_script,
}


def script(shell: str, parser: argparse.ArgumentParser) -> str:
    """The script for one of SHELLS that completes all that the parser takes."""
    return SHELLS[shell](verbs_of(parser))
