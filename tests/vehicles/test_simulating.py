"""Simulated closed cases: whole, seeded, and readable again."""

from __future__ import annotations

from pathlib import Path

from advisor.cases import open_case
from advisor.rulebook import Rulebook
from advisor.vehicles import Vehicles, simulated_cases, write_simulated_cases


def test_same_seed_gives_the_same_cases(vehicles: Vehicles) -> None:
    first = list(simulated_cases(vehicles, 5, 3))
    assert list(simulated_cases(vehicles, 5, 3)) == first
    assert list(simulated_cases(vehicles, 5, 4)) != first


def test_written_cases_are_read_again_with_their_outcome(
    vehicles: Vehicles, book: Rulebook, tmp_path: Path
) -> None:
    cases = list(simulated_cases(vehicles, 4, 1))
    assert write_simulated_cases(tmp_path, iter(cases)) == 4
    for case in cases:
        session = open_case(tmp_path / f"{case.id}.yaml", book)
        assert session.case == case
        assert session.case.outcome is not None
        assert session.warnings == ()


def test_share_of_tests_leaves_the_opening_and_some_of_the_rest(vehicles: Vehicles) -> None:
    for case in simulated_cases(vehicles, 5, 1, tests=0.0):
        assert [record.question for record in case.answers] == ["last-work"]


def test_share_of_dont_know_is_kept(vehicles: Vehicles) -> None:
    answers = [
        r.answer for case in simulated_cases(vehicles, 60, 1, dont_know=0.5) for r in case.answers
    ]
    assert 0.4 < answers.count("dont-know") / len(answers) < 0.65
    # one of the eight questions is in free words, which no vehicle can answer


def test_none_of_the_listed_is_among_the_outcomes(vehicles: Vehicles) -> None:
    outcomes = [case.outcome for case in simulated_cases(vehicles, 80, 1)]
    assert any(outcome is not None and outcome.none_of_the_listed for outcome in outcomes)
    assert any(outcome is not None and len(outcome.causes) == 1 for outcome in outcomes)
