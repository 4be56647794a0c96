"""The trail as text: from the cause by findings and conditions down to the answers."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from advisor.cases import open_case
from advisor.engine.explain import Basis, FactBasis
from advisor.report import trail_text
from advisor.report.trail import trail_of as trail_view_of
from advisor.report.wording import named
from advisor.rulebook import Rulebook
from tests.report.making import STACK, assessed, trail_of

THIN = {**STACK, "yoke-span": "80.12 mm", "last-work": "joint-replaced"}
CASES = sorted((Path(__file__).parents[2] / "cases").glob("*.yaml"))


def plain(text: str) -> str:
    return text.replace("\u00a0", " ")


def test_trail_names_the_cause_its_prior_and_its_probability(small: Rulebook) -> None:
    first, second, *_, last = plain(trail_of(small, THIN, "rings-too-thin")).split("\n")
    assert first == "WHY Retaining rings too thin, so that the cross can shift"
    assert re.fullmatch(r"   [+-]\d+\.\d db: how common it is \(the author's judgement\)", second)
    probability = round(100 * assessed(small, THIN).causes[0].probability)
    assert re.fullmatch(
        rf"   \+\d+\.\d db in all: odds [\d.e+]+ to 1, probability {probability} %", last
    )


def test_decibans_shown_add_up_but_for_their_rounding(small: Rulebook) -> None:
    text = plain(trail_of(small, THIN, "rings-too-thin"))
    weights = [float(one) for one in re.findall(r"^   ([+-]\d+\.\d) db", text, re.MULTILINE)]
    *parts, total = weights
    assert len(parts) >= 3
    assert sum(parts) == pytest.approx(total, abs=0.05 * (len(parts) + 1))


def test_finding_is_followed_by_its_reason_source_condition_and_answer(small: Rulebook) -> None:
    lines = plain(trail_of(small, THIN, "rings-too-thin")).split("\n")
    start = next(i for i, line in enumerate(lines) if "[began-after-joint-work]" in line)
    assert lines[start + 1 : start + 5] == [
        "      because: A joint that nobody touched seldom changes overnight.",
        "      source: judgement",
        "      What was the last work on the driveline? a joint was replaced: yes",
        "         What was the last work on the driveline? A joint was replaced (answered)",
    ]


def test_computed_fact_is_followed_by_its_inputs(small: Rulebook) -> None:
    lines = plain(trail_of(small, THIN, "rings-too-thin")).split("\n")
    start = lines.index("      End play of the cross in the yoke: 0.120 mm +/- 0.024 mm (computed)")
    inputs = lines[start + 1 : start + 5]
    assert [line.endswith(" (answered)") for line in inputs] == [True] * 4
    assert "         How thick is the first ring? 1.500 mm +/- 0.012 mm (answered)" in inputs


def facts_under(basis: Basis | FactBasis) -> Iterator[FactBasis]:
    if isinstance(basis, FactBasis):
        yield basis
        parts: tuple[Basis | FactBasis, ...] = basis.inputs
    else:
        parts = (*basis.items, *basis.facts)
    for part in parts:
        yield from facts_under(part)


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_every_fact_that_a_trail_rests_on_is_shown_with_its_answer(
    path: Path, driveline: Rulebook
) -> None:
    session = open_case(path, driveline)
    cause = session.diagnosis.ranking().causes[0].cause
    text = trail_text(trail_view_of(session.case, driveline, session.diagnosis, cause))
    shown = {fact.id: fact.value for fact in assessed(driveline, session.case.latest()).facts}
    read = {
        fact.fact
        for line in session.diagnosis.trail(cause).lines
        for fact in facts_under(line.basis)
        if fact.origin == "answered"
    }
    assert len(read) >= 8
    missing = [
        fact
        for fact in read
        if f"{named(driveline.name_of(fact), shown[fact])} (answered)" not in text
    ]
    assert missing == []


def test_finding_too_close_to_call_says_so_with_its_chances(small: Rulebook) -> None:
    text = plain(trail_of(small, {**STACK, "yoke-span": "80.06 mm"}, "rings-too-thin"))
    assert "too close to call: too much 66 %, good 33 %, preload 1 % [stack-end-play]" in text


def test_cause_that_can_exist_says_on_what_grounds(small: Rulebook) -> None:
    text = trail_of(small, {"shaft-layout": "two-piece"}, "centre-support-worn")
    assert "   can exist on this vehicle: yes\n" in text
    assert "How many pieces has the shaft? Two pieces (answered)" in text
    unknown = trail_of(small, {}, "centre-support-worn")
    assert "   can exist on this vehicle: not known\n" in unknown


def test_cause_that_cannot_exist_says_so_and_weighs_nothing(small: Rulebook) -> None:
    text = trail_of(small, {"shaft-layout": "one-piece", **THIN}, "centre-support-worn")
    assert text.endswith("   it cannot exist on this vehicle, so no evidence is weighed")
    assert "How many pieces has the shaft? One piece (answered)" in text
    assert "inf" not in text
    assert "\u00a0db" not in text


def test_words_of_an_answer_stay_on_their_line(small: Rulebook) -> None:
    text = trail_of(small, {"note": "a\nWHY b\r\n\u2028c"}, "wheel-unbalance")
    assert "Anything else to note? a WHY b c (answered)" in text
