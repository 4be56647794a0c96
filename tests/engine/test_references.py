"""The engine against other people's programs: scikit-learn, scipy and pgmpy."""

from __future__ import annotations

import warnings
from itertools import combinations
from random import Random

import numpy as np
import pytest

from advisor.engine.belief import Belief
from advisor.engine.effects import Rates
from advisor.engine.hypotheses import flat, information
from advisor.engine.repair import Repairs
from advisor.engine.rules import Rules
from tests import helpers
from tests.random_books import small_book

OUTCOMES = ("p", "q", "r")
COUNTS = {  # vehicles counted: for each class, by outcome of three findings
    "none": ([60, 25, 15], [80, 20], [10, 90]),
    "a": ([5, 85, 10], [30, 70], [50, 50]),
    "b": ([20, 20, 60], [75, 25], [85, 15]),
    "c": ([33, 33, 34], [10, 90], [60, 40]),
}
PRIOR = {"none": 10, "a": 40, "b": 30, "c": 20}


def shares(name: str, place: int) -> tuple[float, ...]:
    return tuple(count / 100 for count in COUNTS[name][place])


def counted_book() -> Rules:
    return helpers.rules(
        questions=[
            helpers.choice("c-0", *OUTCOMES),
            helpers.choice("c-1", "p", "q"),
            helpers.choice("c-2", "p", "q"),
        ],
        findings=[
            helpers.choice_finding(
                f"f-{place}",
                f"c-{place}",
                dict(zip(OUTCOMES, shares("none", place), strict=False)),
                {name: shares(name, place) for name in "abc"},
            )
            for place in range(3)
        ],
        causes=[helpers.cause(name, commonness=PRIOR[name]) for name in "abc"],
        none_share=PRIOR["none"] / 100,
        pair_factor=0.0,
    )


@pytest.mark.parametrize("known", [[0], [2], [0, 1], [1, 2], [0, 1, 2]], ids=str)
def test_single_causes_agree_with_naive_bayes_of_scikit_learn(known: list[int]) -> None:
    """CategoricalNB, fitted on the very counts that the rates come from, known columns only.

    Its smoothing is as good as none, so both must agree within 1e-9.
    """
    from sklearn.naive_bayes import CategoricalNB  # type: ignore[import-untyped]

    rows, classes, weights = [], [], []
    for label, name in enumerate(COUNTS):
        columns = [COUNTS[name][place] for place in known]
        for row in np.ndindex(*(len(column) for column in columns)):
            rows.append(row)
            classes.append(label)
            share = np.prod([column[k] / 100 for column, k in zip(columns, row, strict=True)])
            weights.append(PRIOR[name] * share)
    model = CategoricalNB(alpha=1e-12, force_alpha=True)
    model.fit(np.array(rows), np.array(classes), sample_weight=np.array(weights))

    book = counted_book()
    for row in np.ndindex(*(len(COUNTS["none"][place]) for place in known)):
        answers = {f"c-{place}": OUTCOMES[k] for place, k in zip(known, row, strict=True)}
        belief = helpers.diagnosis(book, answers).belief()
        expected = model.predict_proba(np.array([row]))[0]
        assert [belief.none, *belief.single] == pytest.approx(list(expected), abs=1e-9)


@pytest.mark.parametrize("seed", range(12))
def test_information_agrees_with_scikit_learn_and_with_entropies_of_scipy(seed: int) -> None:
    """Mutual information of a table of counts, and H(outcome) - H(outcome | hypothesis), to 1e-9.

    Of the hypotheses some are almost nothing; scikit-learn wants whole counts.
    """
    from scipy.stats import entropy  # type: ignore[import-untyped]
    from sklearn.metrics import mutual_info_score  # type: ignore[import-untyped]

    source = Random(seed)
    shape = source.randint(2, 4), source.randint(2, 9)  # outcomes, hypotheses
    sizes = [10 ** source.uniform(1.0, 6.0) for _ in range(shape[1])]
    counts = np.array(
        [[1 + int(source.random() * size) for size in sizes] for _ in range(shape[0])]
    )
    masses, outcomes = counts.sum(axis=0) / counts.sum(), counts / counts.sum(axis=0)
    told = information(list(masses), [list(likelihood) for likelihood in outcomes])
    assert told == pytest.approx(mutual_info_score(None, None, contingency=counts), abs=1e-9)
    within = entropy(outcomes, axis=0) @ masses
    assert told == pytest.approx(entropy(counts.sum(axis=1)) - within, abs=1e-9)


@pytest.mark.parametrize("seed", range(12))
def test_what_a_finding_tells_agrees_with_relative_entropies_of_scipy(seed: int) -> None:
    """Each hypothesis' rates against the overall ones, by its mass (Cover and Thomas, 2.3; M).

    The engine takes together the hypotheses that a finding does not speak of; here none are.
    To 1e-9.
    """
    from scipy.stats import entropy

    book = small_book(seed).rules
    hypotheses, masses = flat(book, helpers.diagnosis(book).belief())
    for finding in book.findings:
        rates = Rates(finding, {cause.id: place for place, cause in enumerate(book.causes)})
        outcomes = np.array(hypotheses.likelihoods(rates))
        overall = outcomes @ np.array(masses)
        apart = entropy(outcomes, overall[:, np.newaxis], axis=0)
        expected = float(apart @ np.array(masses))
        assert hypotheses.told(masses, rates) == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize("seed", range(12))
def test_expected_minutes_of_repair_agree_with_a_linear_programme_of_scipy(seed: int) -> None:
    """One fault and no handing on: the least sum of p times the minute of the cure, to 1e-9.

    The minutes at which jobs can end, one after the other, fill a polyhedron with one inequality
    for each set of jobs (Queyranne, Mathematical Programming 58, 1993; M). HiGHS finds the least
    over it, which is the best order's, without looking at any order.
    """
    from scipy.optimize import linprog  # type: ignore[import-untyped]

    source = Random(seed)
    count = source.randint(2, 6)
    minutes = [float(source.randint(20, 240)) for _ in range(count)]
    weights = [source.uniform(0.1, 3.0) for _ in range(count)]
    chances = [weight / sum(weights) for weight in weights]
    sets = [
        [float(place in chosen) for place in range(count)]
        for size in range(1, count + 1)
        for chosen in combinations(range(count), size)
    ]
    work = np.array(sets) * minutes
    least_work = 0.5 * (work.sum(axis=1) ** 2 + (work**2).sum(axis=1))
    expected = linprog(chances, A_ub=-work, b_ub=-least_work, method="highs").fun
    book = helpers.rules(
        causes=[
            helpers.cause(f"c-{place}", repair_minutes=cost, verify_minutes=0.0)
            for place, cost in enumerate(minutes)
        ],
        escalation_minutes=1e6,
    )
    belief = Belief(0.0, chances, [[0.0] * count for _ in range(count)])
    plan = Repairs(book).plan(*flat(book, belief, None))
    assert plan.expected_minutes == pytest.approx(expected, rel=1e-9)
    assert len(plan.steps) == count


@pytest.mark.parametrize("first", [True, False])
@pytest.mark.parametrize("second", [True, False])
def test_two_causes_with_a_leak_agree_with_a_network_of_pgmpy(first: bool, second: bool) -> None:
    """VariableElimination over explicit latent inhibitors: nothing of noisy-OR is written down.

    The state of `causes` is none, a, b or both, with the prior of the rulebook. Each finding is
    true when one of its latent causes acts: the leak, that of a, that of b.
    """
    strengths = {"f": (0.1, 0.7, 0.4), "g": (0.25, 0.15, 0.6)}  # leak, a, b
    book = helpers.rules(
        findings=[
            helpers.finding(
                name,
                {"a": 1 - (1 - leak) * (1 - by_a), "b": 1 - (1 - leak) * (1 - by_b)},
                usual=leak,
            )
            for name, (leak, by_a, by_b) in strengths.items()
        ],
        causes=[helpers.cause("a", commonness=3.0), helpers.cause("b")],
        pair_factor=0.8,
    )
    case = helpers.diagnosis(book, {"q-f": first, "q-g": second})
    prior, belief = case.prior(), case.belief()
    expected = _by_pgmpy(
        [prior.none, *prior.single, prior.pair[0][1]], strengths, {"f": first, "g": second}
    )
    got = [belief.none, *belief.single, belief.pair[0][1]]
    assert got == pytest.approx(expected, abs=1e-9)


def _by_pgmpy(
    prior: list[float],
    strengths: dict[str, tuple[float, float, float]],
    evidence: dict[str, bool],
) -> list[float]:
    with warnings.catch_warnings():
        # Importing pgmpy 1.1 warns of a module of its own that it is about to rename.
        warnings.simplefilter("ignore", FutureWarning)
        from pgmpy.factors.discrete import TabularCPD  # type: ignore[import-untyped]
        from pgmpy.inference import VariableElimination  # type: ignore[import-untyped]
        from pgmpy.models import DiscreteBayesianNetwork  # type: ignore[import-untyped]

    model = DiscreteBayesianNetwork()
    model.add_node("causes")
    tables = [TabularCPD("causes", 4, [[mass] for mass in prior])]
    for name, (leak, by_a, by_b) in strengths.items():
        acts = {"leak": [leak] * 4, "a": [0, by_a, 0, by_a], "b": [0, 0, by_b, by_b]}
        latent = [f"{name}-{source}" for source in acts]
        for node, chances in zip(latent, acts.values(), strict=True):
            model.add_edge("causes", node)
            model.add_edge(node, name)
            table = [[1 - chance for chance in chances], list(chances)]
            tables.append(TabularCPD(node, 2, table, ["causes"], [4]))
        silent = [float(place == 0) for place in range(8)]
        either = [1.0 - share for share in silent]
        tables.append(TabularCPD(name, 2, [silent, either], latent, [2, 2, 2]))
    model.add_cpds(*tables)
    assert model.check_model()
    found = VariableElimination(model).query(
        ["causes"], {name: int(value) for name, value in evidence.items()}, show_progress=False
    )
    return [float(mass) for mass in found.values]
