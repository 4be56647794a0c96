"""numpy: the whole table of hypotheses, in logarithms, kept up to date by the plainest means."""

from __future__ import annotations

import numpy as np

from .summing import Summing
from .work import Answers, Work


class Numpy(Summing):
    """One row of log-likelihoods for each finding and outcome."""

    name = "numpy"

    def __init__(self, work: Work) -> None:
        super().__init__(len(work.rules.causes))
        rates = np.array(work.rates)
        self._log_prior = np.log(work.prior)
        self._log = np.log1p(-rates), np.log(rates)
        self._now = self._log_prior

    def begin(self, known: Answers) -> None:
        """A new vehicle with these answers."""
        self._now = self._log_prior.copy()
        for place, is_true in known.items():
            self.answer(place, is_true)

    def answer(self, place: int, is_true: bool) -> None:
        """One answer more."""
        self._now += self._log[is_true][place]

    def posterior(self) -> np.ndarray:
        """The probability of each hypothesis."""
        masses = np.exp(self._now - self._now.max())
        found: np.ndarray = masses / masses.sum()
        return found
