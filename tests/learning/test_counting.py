"""Which case counts for which rate."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.learning.counting import USUAL, CountTally
from advisor.learning.exact import value_of
from advisor.rulebook import Rulebook, load
from tests.helpers_rulebook import small_rulebook
from tests.learning.world import AUTHOR, case, closed

ALL, BUT_BENT = 0b111, 0b011


@pytest.fixture
def rulebook(tmp_path: Path) -> Rulebook:
    return AUTHOR.load(tmp_path)


def counted(rulebook: Rulebook, *cases: object) -> CountTally:
    tally = CountTally()
    for one in cases:
        tally.add(closed(rulebook, one), rulebook)  # type: ignore[arg-type]
    return tally


def outcomes(tally: CountTally, finding: str, cause: str) -> tuple[float, ...]:
    return tuple(map(value_of, tally.columns[finding, cause].outcomes))


def test_finding_counts_for_the_confirmed_cause_that_it_names(rulebook: Rulebook) -> None:
    tally = counted(
        rulebook,
        case({"q-ticks": "yes"}, "worn"),
        case({"q-ticks": "no"}, "worn"),
        case({"q-ticks": "yes"}, "worn"),
    )
    assert outcomes(tally, "ticks", "worn") == (2.0, 1.0)
    assert ("ticks", USUAL) not in tally.columns


def test_finding_counts_as_usual_with_causes_that_it_does_not_name(rulebook: Rulebook) -> None:
    tally = counted(rulebook, case({"q-ticks": "no"}, "loose"), case({"q-ticks": "yes"}))
    assert outcomes(tally, "ticks", USUAL) == (1.0, 1.0)
    assert (tally.listed, tally.none) == (1, 1)


@pytest.mark.parametrize("answers", [{}, {"q-ticks": "dont-know"}], ids=["not-asked", "not-known"])
def test_unknown_finding_counts_for_nothing(rulebook: Rulebook, answers: dict[str, str]) -> None:
    assert ("ticks", "worn") not in counted(rulebook, case(answers, "worn")).columns


def test_several_values_are_counted_each(rulebook: Rulebook) -> None:
    cases = [case({"noise": noise}, "worn") for noise in ("squeak", "none", "squeak")]
    assert outcomes(counted(rulebook, *cases), "noise-heard", "worn") == (1.0, 0.0, 2.0)


def test_finding_too_close_to_call_counts_by_its_probabilities(tmp_path: Path) -> None:
    rulebook = load(small_rulebook(tmp_path))
    answers = {
        "yoke-span": "80.10 mm",
        "cross-width": "76.98 mm",
        "ring-1": "1.53 mm",
        "ring-2": "1.53 mm",
    }
    one = closed(rulebook, case(answers, "rings-too-thin"))
    weights = one.diagnosis.weights("stack-end-play")
    assert weights is not None
    assert 1.0 not in weights
    tally = CountTally()
    tally.add(one, rulebook)
    assert outcomes(tally, "stack-end-play", "rings-too-thin") == pytest.approx(weights, abs=1e-15)
    assert tally.columns["stack-end-play", "rings-too-thin"].cases == 1


def test_two_causes_count_for_no_rate_with_either_but_for_usual_ones(rulebook: Rulebook) -> None:
    answers = {"q-ticks": "yes", "q-smells": "yes", "q-hums": "yes", "layout": "two-piece"}
    tally = counted(rulebook, case({**answers, "q-shakes": "no"}, "loose", "bent"))
    assert outcomes(tally, "ticks", USUAL) == (1.0, 0.0)
    assert {cause for finding, cause in tally.columns if finding in ("hums", "shakes")} == set()
    assert dict(tally.confirmed) == {(1, ALL): 1, (2, ALL): 1}
    assert (tally.listed, tally.two_causes) == (1, 1)


def test_more_than_two_causes_are_counted_apart(rulebook: Rulebook) -> None:
    tally = counted(rulebook, case({"q-ticks": "yes"}, "worn", "loose", "bent"))
    assert (tally.more_causes, tally.listed, tally.columns) == (1, 0, {})


def test_confirmed_cause_stands_beside_those_that_could_exist(rulebook: Rulebook) -> None:
    tally = counted(rulebook, case({"layout": "one-piece"}, "worn"), case({}, "worn"))
    assert dict(tally.confirmed) == {(0, BUT_BENT): 1, (0, ALL): 1}


def test_failed_repairs_change_no_count(rulebook: Rulebook) -> None:
    answers = {"q-ticks": "yes", "layout": "two-piece"}
    plain = counted(rulebook, case(answers, "worn"))
    assert counted(rulebook, case(answers, "worn", repairs=["loose"])) == plain
    assert counted(rulebook, case(answers, "worn", repairs=["worn"])) == plain


def test_parts_merge_into_the_whole(rulebook: Rulebook) -> None:
    cases = [
        case({"q-ticks": "yes", "noise": "clunk"}, "worn"),
        case({"q-ticks": "no", "q-hums": "yes"}, "loose"),
        case({"noise": "none"}),
        case({"q-hums": "yes"}, "loose"),
    ]
    whole, first = counted(rulebook, *cases), counted(rulebook, *cases[2:])
    first.merge(counted(rulebook, *cases[:2]))
    assert first == whole
