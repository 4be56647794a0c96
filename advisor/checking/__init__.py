"""Finds what is likely wrong in a rulebook that loads; slower than loading, and never part of it.

Each check is a module with a `CODE` of `LIKELY` and a `check(rulebook)` that gives problems.
"""

from __future__ import annotations

from .checks import CHECKS, Check, likely_problems
from .codetable import code_table
from .examining import Examination, examine
from .sarif import as_sarif

__all__ = [
    "CHECKS",
    "Check",
    "Examination",
    "as_sarif",
    "code_table",
    "examine",
    "likely_problems",
]
