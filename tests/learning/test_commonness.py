"""Commonness against the Dirichlet posterior, and against SciPy where causes cannot all exist."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import optimize  # type: ignore[import-untyped]

from advisor.learning.commonness import commonness_from

AUTHOR = (3.0, 2.0, 1.0)
ALL = 0b111


def test_where_all_causes_could_exist_it_is_the_mean_of_the_dirichlet_posterior() -> None:
    confirmed = {(0, ALL): 4, (1, ALL): 25, (2, ALL): 1}
    found = commonness_from(AUTHOR, confirmed, 12.0)
    # 12 pseudo-cases: 6, 4 and 2; scale 6. Source: Gelman and others, BDA3, 3.4.
    assert found == pytest.approx([6 * 10 / 42, 6 * 29 / 42, 6 * 3 / 42], rel=1e-9)


def test_without_cases_it_stays_as_it_is() -> None:
    assert commonness_from(AUTHOR, {}, 5.0) == pytest.approx(AUTHOR)


def test_cause_is_held_only_against_those_that_could_exist() -> None:
    confirmed = {(0, 0b011): 60, (1, 0b011): 30, (0, ALL): 20, (1, ALL): 10, (2, ALL): 30}
    found = commonness_from(AUTHOR, confirmed, 1e-6)
    assert found[2] == pytest.approx(found[0] + found[1], rel=1e-4)  # 30 to 30 where it could
    assert found[0] == pytest.approx(2 * found[1], rel=1e-4)


def test_it_is_the_likeliest_of_luces_model_with_the_pseudo_cases() -> None:
    confirmed = {(0, 0b011): 7, (1, 0b011): 12, (0, ALL): 3, (2, ALL): 9, (1, 0b110): 2}
    strength = 10.0

    def loss(logs: np.ndarray) -> float:
        w = np.exp(np.append(logs, 0.0))
        total = sum(
            strength * a / sum(AUTHOR) * np.log(w[i] / w.sum()) for i, a in enumerate(AUTHOR)
        )
        for (cause, possible), count in confirmed.items():
            among = sum(w[i] for i in range(3) if possible >> i & 1)
            total += count * np.log(w[cause] / among)
        return float(-total)

    best = optimize.minimize(loss, np.zeros(2), tol=1e-12)
    w = np.exp(np.append(best.x, 0.0))
    expected = w / w.sum() * sum(AUTHOR)
    assert commonness_from(AUTHOR, confirmed, strength) == pytest.approx(expected, rel=1e-4)
