"""The words of the command line: verbs, what they take, and their help."""

from __future__ import annotations

import argparse

from advisor import __version__

from .case import PAPERS, add_case_verbs
from .common import DEFAULT_ROLE, ROLES, VerbParser
from .guide import GroupedHelp, WholeParser, guide
from .learning import add_learning_verbs
from .library import add_library_verbs
from .life import add_life_verbs
from .shell import ID_SOURCES, SHELLS, add_shell_verbs
from .trainer import LEVELS, RECORDS, add_trainer_verbs
from .workshop import add_workshop_verbs

__all__ = [
    "DEFAULT_ROLE",
    "ID_SOURCES",
    "LEVELS",
    "PAPERS",
    "RECORDS",
    "ROLES",
    "SHELLS",
    "guide",
    "parser",
]


def parser() -> argparse.ArgumentParser:
    """The parser of the whole command line; the verb's name comes out as `verb`, None for none."""
    whole = WholeParser(
        prog="advisor",
        formatter_class=GroupedHelp,
        description="Find why a driveline shakes, booms, clunks, squeaks or growls.",
        epilog="Start with: advisor ask my-case.yaml. A guide by task: advisor",
    )
    whole.add_argument("--version", action="version", version=f"advisor {__version__}")
    verbs = whole.add_subparsers(
        title="verbs", metavar="VERB", dest="verb", parser_class=VerbParser
    )
    add_case_verbs(verbs)
    add_life_verbs(verbs)
    add_trainer_verbs(verbs)
    add_learning_verbs(verbs)
    add_library_verbs(verbs)
    add_workshop_verbs(verbs)
    add_shell_verbs(verbs)
    return whole
