"""The proof of a rulebook: examples beside the rules, run, scored, and held against the rules.

Examples that can't be read are a LoadError of the rulebook package, with all their problems.
"""

from .proving import Proof, prove
from .reading import FOLDER, Example, read_examples
from .running import run_example
from .text import proof_text, summary
from .walk import Step, Walk, walk

__all__ = [
    "FOLDER",
    "Example",
    "Proof",
    "Step",
    "Walk",
    "proof_text",
    "prove",
    "read_examples",
    "run_example",
    "summary",
    "walk",
]
