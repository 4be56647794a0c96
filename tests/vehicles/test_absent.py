"""What a vehicle doesn't have is not answered about, though no question says when it is asked."""

from __future__ import annotations

from collections import Counter
from pathlib import Path
from random import Random

import pytest

from advisor.engine.diagnosis import Diagnosis
from advisor.engine.values import UNKNOWN, Value
from advisor.rulebook import Rulebook, load, shipped
from advisor.teaching.work import Work
from advisor.vehicles import Vehicle, Vehicles
from tests.proof.book import folder_of
from tests.vehicles.test_vehicle import diagnosis_of

SUPPORT = """
questions:
  rubber:
    ask: What does the rubber of the support look like?
    kind: choice
    options: {whole: Whole, torn: Torn}
    why: Torn rubber lets the shaft shake.
    place: desk
    minutes: 1
  gap:
    ask: How wide is the gap above the support?
    kind: number
    unit: mm
    range: [0 mm, 20 mm]
    why: The support is set by it.
    place: desk
    minutes: 1
  dirt:
    ask: Is there dirt on the shaft?
    kind: yes-no
    why: It may come from the support, or unbalance a wheel as well.
    place: desk
    minutes: 1
findings:
  rubber-torn:
    says: The rubber of the support is torn
    when: {rubber: torn}
    usual: 0.1
    with: {support-worn: 0.8}
    why: Torn rubber lets the shaft shake.
    source: judgement
  shaft-dirty:
    says: There is dirt on the shaft
    when: {dirt: true}
    usual: 0.1
    with: {support-worn: 0.4, wheel-unbalance: 0.3}
    why: Dirt is thrown about.
    source: judgement
computed:
  support-runout:
    name: Runout that the gap amounts to
    function: runout-from-offset
    inputs: {offset: gap}
    unit: mm
"""


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Rulebook:
    folder = folder_of(tmp_path_factory.mktemp("absent"))
    return load(_with_support(folder))


def _with_support(folder: Path) -> Path:
    (folder / "support.yaml").write_text(SUPPORT, encoding="utf-8")
    for path in folder.glob("*.yaml"):
        text = path.read_text(encoding="utf-8")
        shown = "steps: [Replace it.], shows: [support-runout]}"
        path.write_text(text.replace("steps: [Replace it.]}", shown), encoding="utf-8")
    return folder


def vehicles_by_layout(book: Rulebook) -> dict[str, list[Vehicle]]:
    vehicles = Vehicles(book)
    found: dict[str, list[Vehicle]] = {"one-piece": [], "two-piece": []}
    for number in range(60):
        vehicle = vehicles.vehicle(("wheel-unbalance",), Random(number))
        assert vehicle is not None
        found[vehicle.answers["layout"]].append(vehicle)
    assert all(len(some) > 5 for some in found.values())
    return found


def test_part_is_answered_about_where_its_fault_can_exist(book: Rulebook) -> None:
    counts = {
        layout: Counter(
            question
            for vehicle in some
            for question in ("rubber", "gap", "dirt", "layout")
            if question in vehicle.answers
        )
        for layout, some in vehicles_by_layout(book).items()
    }
    every = {name: len(some) for name, some in vehicles_by_layout(book).items()}
    assert counts["two-piece"] == dict.fromkeys(
        ("rubber", "gap", "dirt", "layout"), every["two-piece"]
    )
    assert counts["one-piece"] == dict.fromkeys(("dirt", "layout"), every["one-piece"])


def test_what_is_left_out_would_move_no_ranking(book: Rulebook) -> None:
    vehicle = vehicles_by_layout(book)["one-piece"][0]
    plain = diagnosis_of(book, vehicle).ranking()
    for answers in ({"rubber": "torn"}, {"rubber": "whole", "gap": "3 mm"}):
        more = Vehicle(vehicle.faults, {**vehicle.answers, **answers})
        found = diagnosis_of(book, more).ranking()
        assert [one.cause for one in found.causes] == [one.cause for one in plain.causes]
        assert [one.probability for one in found.causes] == pytest.approx(
            [one.probability for one in plain.causes], abs=1e-12
        )


def test_lesson_offers_no_test_of_what_is_not_there(book: Rulebook) -> None:
    for layout, some in vehicles_by_layout(book).items():
        offered = {test.id for test in Work(book, some[0]).tests_left()}
        assert ("rubber" in offered) == (layout == "two-piece")
        assert "dirt" in offered


def test_shipped_vehicle_with_front_drive_has_no_propeller_shaft() -> None:
    book = load(shipped())
    diagnosis = Diagnosis(book.engine)
    diagnosis.answer("drive-layout", book.parse_answer("drive-layout", "front"))
    for question in ("slope-shaft", "trial-weight-helps", "tube-fouled", "shaft-joints"):
        assert not diagnosis.is_asked(question)
    vehicles = Vehicles(book)
    drawn = (vehicles.vehicle(("wheel-unbalance",), Random(number)) for number in range(60))
    front = next(one for one in drawn if one and one.answers["drive-layout"] == "front")
    assert not {"joint-end-play", "runout-middle", "fork-span", "tube-material"} & set(
        front.answers
    )
    assert {"tyre-state", "balance-off", "hidden-fasteners"} <= set(front.answers)


@pytest.mark.parametrize(
    ("answers", "asked"),
    [({}, True), ({"drive-layout": UNKNOWN}, True), ({"drive-layout": "front"}, False)],
    ids=["not asked yet", "not known", "front drive"],
)
def test_shaft_is_asked_about_unless_there_is_none(answers: dict[str, Value], asked: bool) -> None:
    case = Diagnosis(load(shipped()).rules)
    case.answer_all(answers)
    for question in ("slope-shaft", "shaft-joints", "tube-material", "fork-material"):
        assert case.is_asked(question) is asked
