"""Shell completion: a script for bash, zsh or fish, made from the parser of the command line."""

from __future__ import annotations

from .ids import SOURCES, ids_of
from .line import rulebook_on
from .scripts import SHELLS, script

__all__ = ["SHELLS", "SOURCES", "ids_of", "rulebook_on", "script"]
