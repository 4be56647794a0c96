"""Mutation of a rulebook: small changes of its rules, and whether an example notices them."""

from .mutants import KINDS, RATE_KINDS, Mutant
from .running import Mutation, Sampling, mutation
from .trial import Outcome

__all__ = [
    "KINDS",
    "RATE_KINDS",
    "Mutant",
    "Mutation",
    "Outcome",
    "Sampling",
    "mutation",
]
