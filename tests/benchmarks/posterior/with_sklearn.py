"""scikit-learn: naive Bayes with a class for each hypothesis, over the findings that are known."""

from __future__ import annotations

import numpy as np
from sklearn.naive_bayes import BernoulliNB  # type: ignore[import-untyped]

from .summing import Summing
from .work import Answers, Work


class ScikitLearn(Summing):
    """Its model knows no unknown findings, so it gets the columns of the known ones alone."""

    name = "scikit-learn"

    def __init__(self, work: Work) -> None:
        super().__init__(len(work.rules.causes))
        self._log_prior = np.log(work.prior)
        self._log_rates = np.log(np.array(work.rates).T)
        self._known: dict[int, bool] = {}

    def begin(self, known: Answers) -> None:
        """A new vehicle with these answers."""
        self._known = dict(known)

    def answer(self, place: int, is_true: bool) -> None:
        """One answer more."""
        self._known[place] = is_true

    def posterior(self) -> np.ndarray:
        """The probability of each hypothesis."""
        model = BernoulliNB(binarize=None)
        model.classes_ = np.arange(len(self._log_prior))
        model.class_log_prior_ = self._log_prior
        model.feature_log_prob_ = self._log_rates[:, list(self._known)]
        model.n_features_in_ = len(self._known)
        found: np.ndarray = model.predict_proba(np.array([list(self._known.values())], float))[0]
        return found
