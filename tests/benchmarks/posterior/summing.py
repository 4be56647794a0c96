"""What the programs have in common that work out the whole table: sums over it."""

from __future__ import annotations

from abc import ABC, abstractmethod

import numpy as np


class Summing(ABC):
    """Marginals by summing over the table of hypotheses."""

    def __init__(self, causes: int) -> None:
        self._first, self._second = np.triu_indices(causes, 1)
        self._causes = causes

    @abstractmethod
    def posterior(self) -> np.ndarray:
        """The probability of each hypothesis."""

    def marginals(self) -> list[float]:
        """The probability of each cause, alone or with another."""
        table = self.posterior()
        alone, pairs = table[1 : self._causes + 1], table[self._causes + 1 :]
        first = np.bincount(self._first, pairs, self._causes)
        second = np.bincount(self._second, pairs, self._causes)
        found: list[float] = (alone + first + second).tolist()
        return found

    def table(self) -> list[float]:
        """The probability of each hypothesis."""
        found: list[float] = self.posterior().tolist()
        return found
