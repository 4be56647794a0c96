"""Mutants are what they say, and an example notices one exactly when running it anew would."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from advisor.cli import main
from advisor.engine.rules import Rules
from advisor.proof import Example, read_examples
from advisor.proof.mutation import KINDS, Mutant, Outcome, Sampling, mutation
from advisor.proof.mutation.mutants import (
    NewApplies,
    NewCommonness,
    NewFinding,
    NewRates,
    NoObservation,
    mutants,
    with_rates,
)
from advisor.proof.running import run_example
from advisor.rulebook import Rulebook, load, shipped
from tests.proof.book import LOOSE, THIN, example_text, folder_of, read, write_examples

LAYOUTS = [
    example_text(LOOSE, "first: flange-loose, stops: [bolts-unsafe]", "loose"),
    example_text("bolts-missing: true", "stops: [bolts-unsafe]", "missing"),
    example_text(THIN, "first: rings-too-thin, at_least: {rings-too-thin: 0.9}", "thin"),
    example_text(THIN.replace("76.98", "77.05"), "findings: {stack-end-play: too-close}", "close"),
    example_text(f"{LOOSE}, {THIN}", "pair: [rings-too-thin, flange-loose]", "two"),
    example_text(
        "vibrates: true, layout: two-piece",
        "at_least: {support-worn: 0.25}, first_three: [wheel-unbalance]",
        "support",
    ),
    example_text("layout: one-piece", "at_most: {support-worn: 0.0}", "one-piece"),
    example_text("bolts-loose: false, bolts-missing: false", "not_first: [flange-loose]", "fast"),
    example_text("felt-in: seat", "too_close_to_call: true", "seat"),
    example_text(
        LOOSE, "first: rings-too-thin", "gap", "    known_gap: Nobody measured the rings.\n"
    ),
]


def mutated(rules: Rules, mutant: Mutant) -> Rules:
    """The rules with the mutant in them, made without any of the shortcuts."""
    change = mutant.change
    findings, causes = list(rules.findings), list(rules.causes)
    for place, finding in enumerate(findings):
        if finding.id == mutant.id and mutant.section == "findings":
            if isinstance(change, NewRates):
                findings[place] = with_rates(change)
            elif isinstance(change, NewFinding):
                findings[place] = change.finding
            elif isinstance(change, NoObservation):
                findings[place] = replace(finding, observation=None)
            else:
                findings[place] = replace(finding, stop_driving=False)
    for place, cause in enumerate(causes):
        if cause.id == mutant.id and mutant.section == "causes":
            if isinstance(change, NewCommonness):
                causes[place] = replace(cause, commonness=change.commonness)
            else:
                assert isinstance(change, NewApplies)
                causes[place] = replace(cause, applies_if=change.condition)
    return replace(rules, findings=tuple(findings), causes=tuple(causes))


def notices(rulebook: Rulebook, examples: tuple[Example, ...], mutant: Mutant) -> bool:
    """Whether `advisor prove` would find something with the mutant in the rulebook."""
    other = replace(rulebook, rules=mutated(rulebook.rules, mutant))
    results = [run_example(other, example) for example in examples]
    return any(
        bool(result.failures) != (result.example.model.known_gap is not None) for result in results
    )


def test_noticed_is_what_running_the_mutated_rulebook_notices(tmp_path: Path) -> None:
    rulebook, examples = read(folder_of(tmp_path), *LAYOUTS)
    found = mutation(rulebook, examples, Sampling())
    assert {mutant.kind for mutant, _ in found.tried} == KINDS.keys() - {"observation-dropped"}
    for mutant, outcome in found.tried:
        expected = notices(rulebook, examples, mutant)
        assert (outcome is Outcome.NOTICED) == expected, (mutant.kind, mutant.id, mutant.says)
    assert 0 < found.count(Outcome.NOTICED) < len(found.tried)


@pytest.mark.slow
def test_shortcuts_agree_with_whole_runs_of_the_shipped_rulebook() -> None:
    rulebook = load(shipped())
    examples = read_examples(shipped() / "examples", rulebook)[::50]
    found = mutation(rulebook, examples, Sampling(seed=5, size=12))
    for mutant, outcome in found.tried:
        assert (outcome is Outcome.NOTICED) == notices(rulebook, examples, mutant), mutant.says


def test_observation_dropped_is_noticed_where_two_restate_it(tmp_path: Path) -> None:
    text = """\
findings:
  bolts-rattle:
    says: A flange bolt rattles
    when: {bolts-loose: true}
    observation: bolts
    usual: 0.1
    with: {flange-loose: 0.3}
    why: A test needs it.
    source: judgement
  bolts-move:
    says: A flange bolt moves
    when: {bolts-loose: true}
    observation: bolts
    usual: 0.1
    with: {flange-loose: 0.2}
    why: A test needs it.
    source: judgement
"""
    folder = folder_of(tmp_path)
    (folder / "bolts.yaml").write_text(text, encoding="utf-8")
    rulebook, examples = read(folder, example_text(LOOSE, "at_most: {flange-loose: 0.95}"))
    found = mutation(rulebook, examples, Sampling())
    dropped = [one for one in found.tried if one[0].kind == "observation-dropped"]
    assert [outcome for _, outcome in dropped] == [Outcome.NOTICED, Outcome.NOTICED]
    for mutant, outcome in found.tried:
        expected = notices(rulebook, examples, mutant)
        assert (outcome is Outcome.NOTICED) == expected, (mutant.kind, mutant.id, mutant.says)


def test_mutant_of_a_finding_reaches_what_reads_it(tmp_path: Path) -> None:
    text = """\
findings:
  unsafe-and-shaking:
    says: Bolts are unsafe and it vibrates
    when: {bolts-unsafe: true, vibrates: true}
    usual: 0.1
    with: {flange-loose: 0.8}
    why: A test needs it.
    source: judgement
"""
    folder = folder_of(tmp_path)
    (folder / "more-findings.yaml").write_text(text, encoding="utf-8")
    expect = "findings: {unsafe-and-shaking: true}"
    rulebook, examples = read(folder, example_text(f"{LOOSE}, vibrates: true", expect))
    found = mutation(rulebook, examples, Sampling())
    of_bolts = {
        m.says: o for m, o in found.tried if m.id == "bolts-unsafe" and m.steps[0] == "when"
    }
    assert of_bolts["bolts-loose: false"] is Outcome.NOTICED
    assert of_bolts["without bolts-loose: true"] is Outcome.NOTICED
    assert of_bolts["without bolts-missing: true"] is Outcome.UNTOUCHED


def test_limit_is_moved_by_a_tenth_or_by_two_uncertainties_of_its_gauge(tmp_path: Path) -> None:
    text = """\
findings:
  thick-ring:
    says: A ring is thick
    when: {ring-1: {above: 2 mm}}
    usual: 0.1
    with: {rings-too-thin: 0.01}
    why: A test needs it.
    source: judgement
  thin-ring:
    says: A ring is as good as nothing
    when: {ring-1: {below: 0.05 mm}}
    usual: 0.1
    with: {rings-too-thin: 0.2}
    why: A test needs it.
    source: judgement
"""
    folder = folder_of(tmp_path)
    (folder / "rings.yaml").write_text(text, encoding="utf-8")
    rulebook = load(folder)
    moved = {one.id: set[str]() for one in mutants(rulebook)}
    for one in mutants(rulebook):
        if one.kind == "threshold-moved":
            moved[one.id].add(one.says)
    assert moved["thick-ring"] == {"ring-1: above 1.8 mm", "ring-1: above 2.2 mm"}
    # the caliper of step 0.01 mm and limit 0.02 mm: u = hypot(0.01/sqrt(12), 0.02/sqrt(3))
    twice = 2 * (0.01**2 / 12 + 0.02**2 / 3) ** 0.5
    shown = sorted(float(says.split()[-2]) for says in moved["thin-ring"])
    assert shown == pytest.approx([0.05 - twice, 0.05 + twice], rel=0.02)


def test_sample_is_the_same_for_the_same_seed(tmp_path: Path) -> None:
    rulebook, examples = read(folder_of(tmp_path), *LAYOUTS)

    def drawn(seed: int) -> list[tuple[str, str]]:
        found = mutation(rulebook, examples, Sampling(seed, 6))
        assert found.total > len(found.tried) == 6
        return [(mutant.kind, mutant.says) for mutant, _ in found.tried]

    assert drawn(1) == drawn(1)
    assert drawn(1) != drawn(2)


def test_example_that_fails_anyway_notices_nothing(tmp_path: Path) -> None:
    rulebook, examples = read(folder_of(tmp_path), example_text(LOOSE, "first: rings-too-thin"))
    assert mutation(rulebook, examples, Sampling()).count(Outcome.NOTICED) == 0


def test_verb_lists_survivors_by_place_and_ends_in_0(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = folder_of(tmp_path)
    write_examples(folder, "examples:\n" + "".join(LAYOUTS))
    assert main(["prove", "--rulebook", str(folder), "--mutate"]) == 0
    shown = capsys.readouterr().out
    assert shown.startswith("mutants: ")
    place = f"   {folder}/causes.yaml:18:5: "
    assert f'{place}cause "wheel-unbalance": commonness-doubled: 5 became 10\n' in shown
    place = f"   {folder}/findings.yaml:24:3: "
    assert f'{place}finding "last-work-done": rate-removed: wheel-unbalance\n' in shown
    main(["prove", "--rulebook", str(folder), "--mutate", "--json"])
    data = json.loads(capsys.readouterr().out)["mutation"]
    assert data["total"] == len(data["mutants"])
    assert {one["outcome"] for one in data["mutants"]} == {"noticed", "unnoticed", "untouched"}


def test_sample_without_mutation_is_wrong_use(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["prove", "--sample", "5"]) == 2
    assert "--mutate" in capsys.readouterr().err
