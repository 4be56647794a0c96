"""The invented vehicles of `cases/` come out as their outcomes say."""

from __future__ import annotations

import json
import re
import shlex
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from advisor.cases import CaseSession, open_case
from advisor.cli import main
from advisor.report import Assessment, assess, assessment_text
from advisor.rulebook import Rulebook, load, shipped

ROOT = Path(__file__).parents[1]
CASES = sorted((ROOT / "cases").glob("*.yaml"))
COUPE = "coupe-loose-flange"
ESTATE = "estate-boom-too-close-to-call"


@dataclass(frozen=True, slots=True)
class Demo:
    """A demo case, assessed as the command line does."""

    session: CaseSession
    assessment: Assessment
    text: str

    @property
    def true_causes(self) -> set[str]:
        """The confirmed causes; empty when it was something else."""
        outcome = self.session.case.outcome
        assert outcome is not None
        return set(outcome.causes)

    @property
    def data(self) -> Any:
        """What `rank --json` gives."""
        return json.loads(json.dumps(self.assessment.as_data(), allow_nan=False))

    def section(self, heading: str) -> str:
        """The text of one section, from its heading."""
        (found,) = [part for part in self.text.split("\n\n") if part.startswith(heading)]
        return found


@cache
def rulebook() -> Rulebook:
    return load(shipped())


@cache
def demo(name: str) -> Demo:
    session = open_case(ROOT / "cases" / f"{name}.yaml", rulebook())
    assessment = assess(session.case, session.rulebook, session.diagnosis)
    return Demo(session, assessment, assessment_text(assessment))


def names(*, faults: range) -> list[str]:
    """The demo cases with so many confirmed causes."""
    return [path.stem for path in CASES if len(demo(path.stem).true_causes) in faults]


ALL = [path.stem for path in CASES]


def test_there_are_cases_of_every_sort() -> None:
    assert len(ALL) >= 10
    for count in (0, 1, 2):
        assert names(faults=range(count, count + 1))
    causes = {cause for name in ALL for cause in demo(name).true_causes}
    assert len(causes) >= 8


@pytest.mark.parametrize("name", ALL)
def test_case_loads_without_a_warning_and_is_named_after_its_file(name: str) -> None:
    session = demo(name).session
    assert session.warnings == ()
    assert session.case.id == name
    assert session.case.vehicle
    assert session.case.complaint


@pytest.mark.parametrize("name", ALL)
def test_case_asks_only_what_its_answers_make_due(name: str) -> None:
    """An answer to a question that would never have been asked shows a slip in the case."""
    session = demo(name).session
    answered = session.case.latest()
    assert [one for one in answered if not session.diagnosis.is_asked(one)] == []


@pytest.mark.parametrize("name", [n for n in names(faults=range(1, 2)) if n != ESTATE])
def test_single_cause_comes_first(name: str) -> None:
    found = demo(name).assessment
    assert {found.causes[0].id} == demo(name).true_causes
    assert not found.doubts.none_leads
    assert found.causes[0].probability > 0.5
    assert found.cure is not None
    assert found.cure.cause == found.causes[0].id


@pytest.mark.parametrize("name", names(faults=range(2, 3)))
def test_two_causes_at_once_are_the_likeliest_pair_and_the_first_two(name: str) -> None:
    found = demo(name).assessment
    assert set(found.pairs[0].causes) == demo(name).true_causes
    assert {cause.id for cause in found.causes[:2]} == demo(name).true_causes


@pytest.mark.parametrize("name", names(faults=range(0, 1)))
def test_none_of_the_listed_leads_where_it_was_something_else(name: str) -> None:
    found = demo(name).assessment
    assert found.doubts.none_leads
    assert found.doubts.verdict.startswith("none of the listed causes fits best")
    assert found.cure is None
    assert "THE CURE" not in demo(name).text
    assert found.none_of_the_listed > found.causes[0].probability


# -- the case that is too close to call --


def test_too_close_to_call_is_said_so_and_no_cause_stands_out() -> None:
    found = demo(ESTATE).assessment
    assert found.doubts.verdict.startswith("no cause stands out")
    (call,) = [one for one in found.doubts.close_calls if one.finding == "end-play-evidence"]
    assert call.outcome.startswith("too close to call: ")
    assert re.fullmatch(
        r"End play of the cross in the fork: 0\.0\d+ mm \+/- 0\.0\d+ mm", call.reading
    )
    assert "dial indicator" in call.settled_by
    likely = [cause.id for cause in found.causes[:3]]
    assert demo(ESTATE).true_causes < set(likely)


def test_too_close_to_call_is_settled_next_by_the_dial_indicator() -> None:
    found = demo(ESTATE).assessment
    assert found.next_test is not None
    assert "dial indicator" in found.next_test.name
    assert "end-play-evidence" in {outcome.finding for outcome in found.next_test.outcomes}
    assert "Measure end play with a dial indicator" in demo(ESTATE).section("WHAT TO DO NEXT")


# -- safety first --


def test_stop_driving_comes_before_the_ranking() -> None:
    text = demo(COUPE).text
    stops = demo(COUPE).assessment.stop_driving
    assert len(stops) == 2
    for stop in stops:
        assert stop.certain
        assert text.index(f"STOP DRIVING: {stop.says}") < text.index("CAUSES, most probable first")
        assert text.index(stop.caution) < text.index("CAUSES, most probable first")
        assert stop.caution in [one["caution"] for one in demo(COUPE).data["stop_driving"]]


@pytest.mark.parametrize("name", [name for name in ALL if name != COUPE])
def test_nobody_is_stopped_without_a_reason(name: str) -> None:
    assert demo(name).assessment.stop_driving == ()
    assert "STOP DRIVING" not in demo(name).text


@pytest.mark.parametrize("name", ALL)
def test_cautions_of_a_test_come_before_it_and_are_in_the_json(name: str) -> None:
    found = demo(name)
    section = found.section("WHAT TO DO NEXT")
    tests = [found.assessment.next_test, *found.assessment.other_tests]
    in_json = [found.data["next_test"], *found.data["other_tests"]]
    for test, as_json in zip(tests, in_json, strict=True):
        if test is None:
            continue
        models = [model for model in rulebook().tests.values() if model.name == test.name]
        wanted = {
            rulebook().cautions[caution].text
            for model in models
            if rulebook().places[model.place].name == test.place
            for caution in (*rulebook().places[model.place].cautions, *model.cautions)
        }
        assert wanted <= set(test.cautions)
        assert as_json["cautions"] == list(test.cautions)
        if found.assessment.next_test is None:
            continue  # no test pays, so none is offered in the text
        for caution in test.cautions:
            assert section.index(f"CAUTION: {caution}") < section.index(f"{test.name}")


@pytest.mark.parametrize("name", ALL)
def test_cautions_of_a_choice_come_before_it_and_are_in_the_json(name: str) -> None:
    found = demo(name)
    choices = found.text[found.text.index("THE CHOICES SIDE BY SIDE") :]
    before, table = choices.split("first step takes\n", maxsplit=1)
    told = found.section("WHAT TO DO NEXT") + before
    cure = found.assessment.cure
    for choice, as_json in zip(found.assessment.choices, found.data["choices"], strict=True):
        assert as_json["cautions"] == list(choice.cautions)
        assert choice.step in table
        if choice.cause and not choice.tests and cure and choice.cause == cure.cause:
            continue  # its cautions come with the steps of the cure
        assert all(f"CAUTION: {caution}" in told for caution in choice.cautions)


@pytest.mark.parametrize("name", [name for name in ALL if demo(name).assessment.cure])
def test_cautions_of_a_proof_come_before_its_first_step(name: str) -> None:
    cure = demo(name).assessment.cure
    assert cure is not None
    section = demo(name).section("THE CURE")
    proof = section.index(f"1. {cure.proof[0]}", section.index("proof of cure"))
    assert all(section.index(f"CAUTION: {caution}") < proof for caution in cure.proof_cautions)


@pytest.mark.parametrize("name", [name for name in ALL if demo(name).assessment.cure])
def test_cautions_of_a_cure_come_before_its_first_step_and_are_in_the_json(name: str) -> None:
    found = demo(name)
    cure = found.assessment.cure
    assert cure is not None
    section = found.section("THE CURE")
    model = rulebook().causes[cure.cause]
    assert list(cure.cautions) == [rulebook().cautions[one].text for one in model.remedy.cautions]
    assert found.data["cure"]["cautions"] == list(cure.cautions)
    for caution in cure.cautions:
        assert section.index(f"CAUTION: {caution}") < section.index(f"1. {cure.steps[0]}")
    assert "the vehicle maker's service information comes first" in section


def test_some_test_and_most_cures_do_carry_cautions() -> None:
    """Else the tests above would check nothing."""
    cures = [demo(name).assessment.cure for name in ALL]
    assert sum(bool(cure.cautions) for cure in cures if cure) >= 5
    assert any(
        test.cautions
        for name in ALL
        for test in (demo(name).assessment.next_test, *demo(name).assessment.other_tests)
        if test
    )


# -- the README --


def test_command_of_the_readme_ranks_its_case_as_the_readme_says(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    commands = re.findall(r"\.venv/bin/advisor (rank .*)$", readme, re.MULTILINE)
    assert commands
    monkeypatch.chdir(ROOT)
    for command in commands:
        assert main(shlex.split(command)) == 0
    out = capsys.readouterr().out
    assert out.startswith("case pickup-shake: rulebook driveline ")
    shown = re.findall(r"^```text\n(.*?)^```$", readme, re.MULTILINE | re.DOTALL)
    for block in shown:
        lines = [line for line in block.splitlines() if line.strip(" .")]
        assert [line for line in lines if line not in out.splitlines()] == []
