"""The record that moved a vehicle is named, and what it added is exact."""

from __future__ import annotations

import math
import re
import shutil
from pathlib import Path

import pytest

from advisor.comparing import Comparison, Moved, Wanted, compare, comparison_text
from advisor.comparing.blend import Blend
from advisor.engine.diagnosis import Diagnosis
from advisor.proof import read_examples
from advisor.rulebook import Rulebook, load
from tests.comparing.books import book
from tests.proof.book import LOOSE, THIN, example_text

QUICK = Wanted(with_plan=False)
RATE = ("with: {flange-loose: 0.9}", "with: {flange-loose: 0.03}")
CONDITION = ("- {bolts-loose: true}", "- {bolts-loose: false}")
COMMON = ("what: It gives way.\n    commonness: 1", "what: It gives way.\n    commonness: 90")
APPLIES = ("applies_if: {layout: two-piece}", "applies_if: {layout: one-piece}")
GAUGE = ("step: 0.01 mm, limit: 0.02 mm", "step: 0.5 mm, limit: 1 mm")
INPUTS = ("ring_1: ring-1, ring_2: ring-2}", "ring_1: ring-1, ring_2: cross-width}")
SHARE = ("none_of_the_listed: 0.08", "none_of_the_listed: 0.8")


def compared(tmp_path: Path, *changes: tuple[str, str], wanted: Wanted = QUICK) -> Comparison:
    old = book(tmp_path / "old")
    return compare(old, book(tmp_path / "new", *changes), None, wanted)


def moved(found: Comparison, vehicle: str) -> Moved:
    return next(one for one in found.moved if one.vehicle.id == vehicle)


def test_rulebook_compared_with_itself_gives_nothing(tmp_path: Path) -> None:
    found = compared(tmp_path, wanted=Wanted(threshold=0.0))
    assert found.compared == 5
    assert (found.differences, found.moved, found.left) == ((), (), ())
    assert not found.matters


def test_words_alone_move_nothing_and_are_counted(tmp_path: Path) -> None:
    found = compared(tmp_path, ("says: Flange bolts are loose or missing", "says: Loose bolts"))
    assert [one.is_text for one in found.differences] == [True]
    assert found.moved == ()
    assert "only the words of 1 record" in comparison_text(found)


CULPRITS = [
    (RATE, "loose", ("findings", "bolts-unsafe"), [("findings", "bolts-unsafe")]),
    (CONDITION, "loose", ("findings", "bolts-unsafe"), [("findings", "bolts-unsafe")]),
    (COMMON, "nothing", ("causes", "support-worn"), [("causes", "support-worn")]),
    (APPLIES, "support", ("causes", "support-worn"), [("causes", "support-worn")]),
    (GAUGE, "thin", ("findings", "stack-end-play"), [("gauges", "caliper")]),
    (INPUTS, "thin", ("findings", "stack-end-play"), [("computed", "end-play")]),
    (SHARE, "nothing", ("rulebook", "small"), [("rulebook", "small")]),
]


@pytest.mark.parametrize(("change", "vehicle", "record", "by"), CULPRITS)
def test_culprit_is_the_first_reason_and_its_difference_is_behind_it(
    tmp_path: Path,
    *,
    change: tuple[str, str],
    vehicle: str,
    record: tuple[str, str],
    by: list[tuple[str, str]],
) -> None:
    found = compared(tmp_path, change, wanted=Wanted(threshold=0.001, with_plan=False))
    reason = moved(found, vehicle).reasons[0]
    assert (reason.section, reason.id) == record
    assert [one.key for one in reason.by] == by


def test_culprit_stands_out_among_other_changes(tmp_path: Path) -> None:
    small = (
        "usual: 0.1\n    with: {support-worn: 0.8}",
        "usual: 0.1\n    with: {support-worn: 0.79}",
    )
    found = compared(
        tmp_path,
        RATE,
        small,
        (
            "usual: 0.3\n    with: {wheel-unbalance: 0.6}",
            "usual: 0.31\n    with: {wheel-unbalance: 0.6}",
        ),
    )
    loose = moved(found, "loose")
    assert loose.move.leader_changed
    assert (loose.reasons[0].id, len(loose.reasons)) == ("bolts-unsafe", 1)


def odds(diagnosis: Diagnosis, first: str, second: str) -> float:
    """Odds of two causes in decibans, from the diagnosis itself."""
    mass = {one.cause: one.probability for one in diagnosis.ranking().causes}
    return 10.0 * math.log10(mass[first] / mass[second])


def diagnosis_of(rulebook: Rulebook, folder: Path, vehicle: str) -> Diagnosis:
    example = next(e for e in read_examples(folder / "examples", rulebook) if e.id == vehicle)
    diagnosis = Diagnosis(rulebook.engine)
    for question, value in example.values.items():
        diagnosis.answer(question, value)
    return diagnosis


@pytest.mark.parametrize("vehicle", ["loose", "thin", "wheel", "support", "nothing"])
def test_steps_add_up_to_the_change_of_the_odds(tmp_path: Path, vehicle: str) -> None:
    old = book(tmp_path / "old")
    new = book(tmp_path / "new", RATE, COMMON, INPUTS, GAUGE, SHARE)
    books = (load(old), load(new))
    before, after = (diagnosis_of(one, new, vehicle) for one in books)
    for first, second in (
        ("flange-loose", "rings-too-thin"),
        ("wheel-unbalance", "rings-too-thin"),
    ):
        steps = Blend(*books).steps(before, after, (first, second))
        change = odds(after, first, second) - odds(before, first, second)
        assert sum(steps.values()) == pytest.approx(change, abs=1e-6)


def test_added_finding_weighs_what_its_rates_say(tmp_path: Path) -> None:
    added = (
        "causes:\n  flange-loose:",
        "  bolts-marked:\n    says: New\n    when: {bolts-loose: true}\n    usual: 0.1\n"
        "    with: {rings-too-thin: 0.9}\n    why: A test.\n    source: judgement\n"
        "causes:\n  flange-loose:",
    )
    found = compared(tmp_path, added, wanted=Wanted(threshold=0.01, with_plan=False))
    loose = moved(found, "loose")
    assert [reason.id for reason in loose.reasons] == ["bolts-marked"]
    assert loose.reasons[0].by[0].before is None
    (difference,) = found.differences
    assert difference.place.endswith("new/more.yaml:42")


def test_new_cause_makes_itself_possible(tmp_path: Path) -> None:
    added = (
        "causes:\n  flange-loose:",
        "  bolts-marked:\n    says: New\n    when: {bolts-loose: true}\n    usual: 0.01\n"
        "    with: {bolt-broken: 0.99}\n    why: A test.\n    source: judgement\n"
        "causes:\n  bolt-broken:\n    name: A broken bolt\n    what: It broke.\n"
        "    commonness: 9\n    remedy: {minutes: 1, steps: [Replace it.]}\n"
        "    verify: {minutes: 1, steps: [Look.]}\n    source: judgement\n  flange-loose:",
    )
    found = compared(tmp_path, added)
    loose = moved(found, "loose")
    assert loose.move.after.leading == "bolt-broken"
    assert loose.reasons[0].id == "bolt-broken"
    assert "makes bolt-broken possible: cause" in comparison_text(found)


def test_verdict_is_told_where_it_is_known_what_is_right(tmp_path: Path) -> None:
    found = compared(tmp_path, RATE)
    assert moved(found, "loose").move.verdict == "worse"
    back = compare(tmp_path / "new", tmp_path / "old", None, QUICK)
    assert moved(back, "loose").move.verdict == "better"
    unknown = compare(tmp_path / "old", book(tmp_path / "more", SHARE), None, QUICK)
    assert moved(unknown, "nothing").move.verdict is None


RENAMED = {
    ("causes", "flange-loose"): "loose-flange",
    ("questions", "bolts-loose"): "loose-bolts",
    ("findings", "bolts-unsafe"): "unsafe-bolts",
    ("computed", "end-play"): "axial-play",
    ("places", "bench"): "workbench",
    ("tests", "measure-joint"): "measure-fork",
}
CASE = """\
format: 1
id: van
rulebook: {id: small, version: 0.1.0}
answers: {bolts-loose: "yes", yoke-span: "80.1 mm"}
place: bench
put_off: [measure-joint]
outcome: {causes: [flange-loose]}
"""


def renamed(old: Path, new: Path) -> Path:
    """A copy of the rulebook with some ids renamed, and retired."""
    shutil.copytree(old, new)
    for path in new.rglob("*.yaml"):
        text = path.read_text(encoding="utf-8")
        for (_, was), now in RENAMED.items():
            text = re.sub(rf"(?<![\w-])(?<!the ){was}(?![\w-])", now, text)
        path.write_text(text, encoding="utf-8")
    records = "".join(
        f"  {section}: {{{was}: {{replaced_by: {now}, retired_in: 0.2.0, reason: renamed}}}}\n"
        for (section, was), now in RENAMED.items()
    )
    (new / "retired.yaml").write_text(f"retired:\n{records}", encoding="utf-8")
    return new


@pytest.mark.parametrize("over", ["examples", "cases"])
def test_what_was_only_renamed_moves_nothing(tmp_path: Path, over: str) -> None:
    old = book(tmp_path / "old")
    new = renamed(old, tmp_path / "new")
    (tmp_path / "cases").mkdir()
    (tmp_path / "cases" / "van.yaml").write_text(CASE, encoding="utf-8")
    cases = tmp_path / "cases" if over == "cases" else None
    found = compare(old, new, cases, Wanted(threshold=0.0))
    assert (found.differences, found.moved, found.left) == ((), (), ())
    assert found.compared == (1 if cases else 5)


def test_what_is_right_goes_by_the_newer_ids(tmp_path: Path) -> None:
    old = book(tmp_path / "old")
    new = renamed(old, tmp_path / "new")
    rules = new / "more.yaml"
    text = rules.read_text(encoding="utf-8")
    rules.write_text(text.replace("loose-flange: 0.9", "loose-flange: 0.3"), encoding="utf-8")
    (tmp_path / "cases").mkdir()
    (tmp_path / "cases" / "van.yaml").write_text(CASE, encoding="utf-8")
    (van,) = compare(old, new, tmp_path / "cases", QUICK).moved
    assert van.move.right == {"loose-flange"}
    assert van.move.verdict == "worse"
    assert [reason.id for reason in van.reasons] == ["unsafe-bolts"]
    back = compare(new, old, tmp_path / "cases", QUICK)
    assert back.compared == 1


@pytest.mark.parametrize(("commonness", "verdict"), [("0.5", "worse"), ("9", "better")])
def test_cause_that_became_part_of_another_is_right_by_the_id_of_each(
    tmp_path: Path, commonness: str, verdict: str
) -> None:
    old = book(tmp_path / "old")
    new = book(
        tmp_path / "new",
        ("with: {flange-loose: 0.9}", "with: {support-worn: 0.9}"),
        (
            "    commonness: 1\n    applies_if: {layout: two-piece}\n",
            f"    commonness: {commonness}\n",
        ),
        examples="examples:\n" + example_text(LOOSE, "first: support-worn", "loose"),
    )
    more = new / "more.yaml"
    text = more.read_text(encoding="utf-8")
    start, end = text.index("  flange-loose:\n    name"), text.index("  support-worn:\n    name")
    one = "    flange-loose: {replaced_by: support-worn, retired_in: 0.2.0, reason: one thing}\n"
    more.write_text(f"{text[:start]}{text[end:]}retired:\n  causes:\n{one}", encoding="utf-8")
    (tmp_path / "cases").mkdir()
    (tmp_path / "cases" / "van.yaml").write_text(CASE, encoding="utf-8")
    (van,) = compare(old, new, tmp_path / "cases", QUICK).moved
    assert (van.move.before.leading, van.move.after.leading) == ("flange-loose", "support-worn")
    assert van.move.was_right == {"flange-loose"}
    assert van.move.right == {"support-worn"}
    assert van.move.verdict == verdict


@pytest.mark.parametrize("over", ["examples", "cases"])
def test_cause_that_simply_went_is_none_of_the_listed_for_the_newer(
    tmp_path: Path, over: str
) -> None:
    old = book(tmp_path / "old")
    other = example_text("note: nothing", "too_close_to_call: true", "nothing")
    new = book(tmp_path / "new", examples="examples:\n" + other)
    more = new / "more.yaml"
    text = more.read_text(encoding="utf-8")
    start, end = text.index("  flange-loose:\n    name"), text.index("  support-worn:\n    name")
    text = text[:start] + text[end:]
    text = text.replace("with: {flange-loose: 0.9}", "with: {wheel-unbalance: 0.01}")
    text = re.sub(r"  bolts-missing:\n(    .*\n)+", "", text)
    text = text.replace("        - {bolts-missing: true}\n", "")
    went = "{retired_in: 0.2.0, reason: never seen}"
    gone = f"  causes: {{flange-loose: {went}}}\n  questions: {{bolts-missing: {went}}}\n"
    more.write_text(f"{text}retired:\n{gone}", encoding="utf-8")
    if over == "examples":
        loose = example_text("bolts-loose: true, bolts-missing: true", "first: flange-loose", "van")
        (old / "examples" / "some.yaml").write_text(f"examples:\n{loose}", encoding="utf-8")
    (tmp_path / "cases").mkdir()
    case = CASE.replace("{bolts-loose: ", '{bolts-missing: "yes", bolts-loose: ')
    (tmp_path / "cases" / "van.yaml").write_text(case, encoding="utf-8")
    found = compare(old, new, tmp_path / "cases" if over == "cases" else None, QUICK)
    assert found.left == ()
    van = moved(found, "van").move
    assert van.was_right == {"flange-loose"}
    assert van.right == {"none-of-the-listed"}


def test_vehicle_of_an_id_that_is_gone_is_listed_with_the_reason(tmp_path: Path) -> None:
    old = book(tmp_path / "old")
    gone = example_text(f"bolts-gone: true, {THIN}", "first: rings-too-thin", "gone")
    new = book(
        tmp_path / "new",
        ("  bolts-missing:\n", "  bolts-gone:\n"),
        ("- {bolts-missing: true}", "- {bolts-gone: true}"),
        examples="examples:\n" + example_text(LOOSE, "first: flange-loose", "loose") + gone,
    )
    missing = example_text("bolts-missing: true", "first: flange-loose", "missing")
    (old / "examples" / "some.yaml").write_text("examples:\n" + missing, encoding="utf-8")
    found = compare(old, new, None, QUICK)
    assert {(one.vehicle.id, one.which) for one in found.left} == {
        ("gone", "older"),
        ("missing", "newer"),
    }
    assert found.compared == 1
    assert 'older rulebook: no question has the id "bolts-gone"' in comparison_text(found)


def test_changed_stop_is_told_with_its_finding(tmp_path: Path) -> None:
    found = compared(tmp_path, ("    stop_driving: no-driving\n", ""))
    assert found.matters
    loose = moved(found, "loose")
    assert (loose.move.before.stops, loose.move.after.stops) == (("bolts-unsafe",), ())
    assert [reason.id for reason in loose.reasons] == ["bolts-unsafe"]
    assert "stop_driving: true became false" in comparison_text(found)


def test_dearer_test_changes_what_comes_next(tmp_path: Path) -> None:
    found = compared(tmp_path, ("minutes: 0.5", "minutes: 60"), wanted=Wanted())
    nothing = moved(found, "nothing").move
    assert (nothing.before.next_test, nothing.after.next_test) == ("last-work", "bolts-loose")
    assert [one.key for one in found.differences] == [("questions", "last-work")]
    assert "next: last-work became bolts-loose" in comparison_text(found)
