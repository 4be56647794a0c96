"""Writes new rules with their author: asks, checks each answer, shows, tries and writes.

Files are added to, never written anew: the author's own layout and comments stay as they are.
"""

from __future__ import annotations

from .changes import WriteRefusedError
from .command import CopyError, copy_shipped, is_programs_own, write_new
from .draft import DraftError
from .guides import GUIDES

__all__ = [
    "GUIDES",
    "CopyError",
    "DraftError",
    "WriteRefusedError",
    "copy_shipped",
    "is_programs_own",
    "write_new",
]
