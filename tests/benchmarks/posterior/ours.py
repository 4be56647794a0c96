"""Our own evidence, kept up to date answer by answer."""

from __future__ import annotations

from advisor.engine.diagnosis import Diagnosis, Engine

from .work import Answers, Work, in_pairs


class Ours:
    """One diagnosis a vehicle; the marginals are there at once, the table when it is read."""

    name = "ours"

    def __init__(self, work: Work) -> None:
        self._engine = Engine(work.rules)
        self._case = Diagnosis(self._engine)

    def begin(self, known: Answers) -> None:
        """A new vehicle with these answers."""
        self._case = Diagnosis(self._engine)
        self._case.answer_all({f"q-f-{place}": is_true for place, is_true in known.items()})

    def answer(self, place: int, is_true: bool) -> None:
        """One answer more."""
        self._case.answer(f"q-f-{place}", is_true)

    def marginals(self) -> list[float]:
        """The probability of each cause, alone or with another."""
        return self._case.belief().marginals()

    def table(self) -> list[float]:
        """The probability of each hypothesis."""
        belief = self._case.belief()
        return [belief.none, *belief.single, *in_pairs(belief.pair)]
