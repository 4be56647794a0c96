"""pgmpy: a network with one node for the hypotheses and one for each finding."""

from __future__ import annotations

import warnings

import numpy as np

with warnings.catch_warnings():
    # Importing pgmpy 1.1 warns of a module of its own that it is about to rename.
    warnings.simplefilter("ignore", FutureWarning)
    from pgmpy.factors.discrete import TabularCPD  # type: ignore[import-untyped]
    from pgmpy.inference import VariableElimination  # type: ignore[import-untyped]
    from pgmpy.models import DiscreteBayesianNetwork  # type: ignore[import-untyped]

from .summing import Summing
from .work import Answers, Work


class Pgmpy(Summing):
    """Variable elimination, a query for each posterior."""

    name = "pgmpy"

    def __init__(self, work: Work) -> None:
        super().__init__(len(work.rules.causes))
        count = len(work.prior)
        model = DiscreteBayesianNetwork()
        model.add_node("cause")
        tables = [TabularCPD("cause", count, np.array(work.prior)[:, np.newaxis])]
        for place, rates in enumerate(work.rates):
            model.add_edge("cause", f"f-{place}")
            shares = np.array([1.0 - np.array(rates), rates])
            tables.append(TabularCPD(f"f-{place}", 2, shares, ["cause"], [count]))
        model.add_cpds(*tables)
        self._inference = VariableElimination(model)
        self._known: dict[str, int] = {}

    def begin(self, known: Answers) -> None:
        """A new vehicle with these answers."""
        self._known = {f"f-{place}": int(is_true) for place, is_true in known.items()}

    def answer(self, place: int, is_true: bool) -> None:
        """One answer more."""
        self._known[f"f-{place}"] = int(is_true)

    def posterior(self) -> np.ndarray:
        """The probability of each hypothesis."""
        found = self._inference.query(["cause"], self._known, show_progress=False)
        values: np.ndarray = found.values
        return values
