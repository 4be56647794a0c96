"""The one source of text and JSON: sums that add up, cautions that are there, data that is JSON."""

from __future__ import annotations

import dataclasses
import json
import math
from pathlib import Path
from typing import Any

import pytest

from advisor.cases import open_case, replay
from advisor.report import Assessment, assess
from advisor.rulebook import Rulebook
from tests.report.making import STACK, assessed, case_of, diagnosed

CASES = sorted((Path(__file__).parents[2] / "cases").glob("*.yaml"))
FIELDS_OF_FORMAT_1 = [
    "format", "case", "vehicle", "complaint", "rulebook", "rulebook_version", "minutes_spent",
    "stop_driving", "causes", "none_of_the_listed", "two_at_once", "pairs", "doubts", "next_test",
    "other_tests", "repairs", "expected_minutes",
    "expected_minutes_without_tests", "choices", "cure",
    "facts",
]  # fmt: skip
ANSWERS = {
    "nothing": {},
    "some": {"last-work": "joint-replaced", "vibrates": "yes", "worst-speed": "60 mph"},
    "one piece": {"shaft-layout": "one-piece", "last-work": "tyres-replaced"},
    "nobody knows": {"last-work": "dont-know", "ring-1": "?", "note": "dont-know"},
    "stack": {**STACK, "yoke-span": "80.12 mm", "note": "a\nb"},
    "no such joint": {**STACK, "yoke-span": "60 mm"},
}


def demo(path: Path, driveline: Rulebook) -> Assessment:
    session = open_case(path, driveline)
    return assess(session.case, driveline, session.diagnosis)


def test_closed_case_names_what_was_confirmed(driveline: Rulebook) -> None:
    paths = {path.stem: path for path in CASES}
    found = demo(paths["pickup-moan-after-two-faults"], driveline)
    assert found.confirmed == (
        driveline.causes["forks-out-of-phase"].name,
        driveline.causes["rings-unequal"].name,
    )
    assert assessed(driveline, {}).confirmed == ()


def check_sums(found: Assessment) -> None:
    for cause in found.causes:
        total = cause.prior_decibans + math.fsum(line.decibans for line in cause.evidence)
        # D: W(H:E) = log O(H|E) - log O(H), Good 1950; the lines share it out without a rest
        assert total == pytest.approx(cause.posterior_decibans, abs=1e-9)
        odds = 10.0 ** (cause.posterior_decibans / 10.0)
        assert odds / (1.0 + odds) == pytest.approx(cause.probability, abs=1e-9)


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_prior_and_evidence_add_up_to_the_posterior(path: Path, driveline: Rulebook) -> None:
    check_sums(demo(path, driveline))


@pytest.mark.parametrize("answers", ANSWERS.values(), ids=ANSWERS.keys())
def test_prior_and_evidence_add_up_whatever_was_answered(
    answers: dict[str, str], small: Rulebook
) -> None:
    check_sums(assessed(small, answers))


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_causes_come_most_probable_first_and_the_whole_is_one(
    path: Path, driveline: Rulebook
) -> None:
    found = demo(path, driveline)
    probabilities = [cause.probability for cause in found.causes]
    assert probabilities == sorted(probabilities, reverse=True)
    # each pair is counted with both of its causes
    whole = found.none_of_the_listed + math.fsum(probabilities) - found.two_at_once
    assert whole == pytest.approx(1.0, abs=1e-9)


# -- JSON --


def same_names(value: object, data: Any) -> None:
    """Every object of the data has exactly the fields of the value that it stands for."""
    if dataclasses.is_dataclass(value):
        names = [field.name for field in dataclasses.fields(value)]
        assert list(data) == names
        for name in names:
            same_names(getattr(value, name), data[name])
    elif isinstance(value, tuple):
        assert len(value) == len(data)
        for one, its_data in zip(value, data, strict=True):
            same_names(one, its_data)
    else:
        assert value == data


def strict_json(text: str) -> Any:
    def refuse(word: str) -> None:
        raise AssertionError(f"{word} is no JSON")

    return json.loads(text, parse_constant=refuse)


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_json_of_a_demo_case_says_all_that_the_assessment_holds(
    path: Path, driveline: Rulebook
) -> None:
    found = demo(path, driveline)
    same_names(found, strict_json(json.dumps(found.as_data())))


@pytest.mark.parametrize("answers", ANSWERS.values(), ids=ANSWERS.keys())
def test_json_is_json_whatever_was_answered(answers: dict[str, str], small: Rulebook) -> None:
    found = assessed(small, answers)
    same_names(found, strict_json(json.dumps(found.as_data())))


def test_fields_of_format_1_stay(small: Rulebook) -> None:
    """A field may be added; one that goes or changes its meaning raises the format."""
    data = assessed(small, {}).as_data()
    assert data["format"] == 1
    assert [name for name in FIELDS_OF_FORMAT_1 if name not in data] == []


def test_cause_that_cannot_exist_is_left_out(small: Rulebook) -> None:
    either = assessed(small, {})
    assert "centre-support-worn" in [cause.id for cause in either.causes]
    one_piece = assessed(small, {"shaft-layout": "one-piece"})
    assert "centre-support-worn" not in json.dumps(one_piece.as_data())
    trail = diagnosed(small, {"shaft-layout": "one-piece"}).trail("centre-support-worn")
    assert trail.prior_decibans == -math.inf  # which JSON could not say


# -- cautions --


def test_cautions_of_the_place_and_of_the_test_are_told_once_each(small: Rulebook) -> None:
    (dial,) = [test for test in assessed(small, {}).other_tests if test.id == "end-play"]
    assert dial.cautions == (
        "A retaining ring can spring out. Wear eye protection.",
        "Hold the shaft with a strap.",
    )


def test_cautions_of_all_tests_done_together_are_told(driveline: Rulebook) -> None:
    """A test that is proposed along with another one must not lose its cautions."""
    name_of = {name: model.name for name, model in driveline.tests.items()}
    seen = 0
    for path in CASES:
        answers = open_case(path, driveline).case.latest()
        for count in range(3, len(answers), 7):
            some = dict(list(answers.items())[:count])
            diagnosis = replay(case_of(some), driveline)
            found = assess(case_of(some), driveline, diagnosis)
            options = diagnosis.plan(at="desk").options
            shown = [test for test in (found.next_test, *found.other_tests) if test]
            for view, option in zip(shown, options, strict=False):
                assert (view.name, *view.together_with) == tuple(map(name_of.get, option.tests))
                cautions = {
                    driveline.cautions[caution].text
                    for test in option.tests
                    for caution in (
                        *driveline.places[driveline.tests[test].place].cautions,
                        *driveline.tests[test].cautions,
                    )
                }
                assert set(view.cautions) == cautions
                seen += len(option.tests) > 1
    assert seen > 0


# -- the cure --


def test_cure_shows_its_computed_numbers(small: Rulebook) -> None:
    answers = {"last-work": "joint-replaced", **STACK, "yoke-span": "80.12 mm"}
    cure = assessed(small, answers).cure
    assert cure is not None
    assert cure.cause == "rings-too-thin"
    (shown,) = cure.computed
    # D: 80.12 - 77.00 - 1.50 - 1.50 = 0.12 mm; u = sqrt(4 (0.01^2/12 + 0.02^2/3)) = 0.024 mm
    assert (shown.id, shown.value) == ("end-play", "0.120 mm +/- 0.024 mm")
    assert cure.cautions == ("A retaining ring can spring out. Wear eye protection.",)


def test_cure_says_so_when_its_numbers_are_not_measured_yet(small: Rulebook) -> None:
    cure = assessed(small, {"last-work": "joint-replaced"}).cure
    assert cure is not None
    assert [shown.value for shown in cure.computed] == ["not measured yet"]


def test_no_cure_is_offered_when_none_of_the_listed_leads(driveline: Rulebook) -> None:
    found = demo(next(path for path in CASES if "side-wind" in path.stem), driveline)
    assert found.doubts.none_leads
    assert found.cure is None


def test_places_limit_where_the_tests_may_be(driveline: Rulebook) -> None:
    case = open_case(CASES[0], driveline).case
    found = assess(case, driveline, replay(case, driveline), places={"lift"})
    tests = [test for test in (found.next_test, *found.other_tests) if test]
    assert {test.place for test in tests} == {driveline.places["lift"].name}
