"""Two rulebooks compared over cases or examples: which rankings move, and by which rule.

What can't be read is a LoadError of the rulebook package, with all its problems.
"""

from .comparison import Comparison, Moved, Reason, Wanted, compare
from .data import comparison_data
from .moves import THRESHOLD
from .text import comparison_text, summary

__all__ = [
    "THRESHOLD",
    "Comparison",
    "Moved",
    "Reason",
    "Wanted",
    "compare",
    "comparison_data",
    "comparison_text",
    "summary",
]
