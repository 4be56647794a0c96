"""Made-up vehicles: their findings have the rates of the rulebook, and their answers fit."""

from __future__ import annotations

from collections import Counter
from random import Random

import pytest
from scipy.stats import binomtest  # type: ignore[import-untyped]

from advisor.engine.diagnosis import Diagnosis
from advisor.engine.rules import ByBand, Finding
from advisor.engine.values import Number
from advisor.rulebook import Rulebook
from advisor.teaching.practicefile import mark_of
from advisor.vehicles import Vehicle, Vehicles, rates_with

COUNT = 400
UNLIKELY = 1e-4  # of a fair draw; a few dozen outcomes are looked at


def diagnosis_of(book: Rulebook, vehicle: Vehicle) -> Diagnosis:
    diagnosis = Diagnosis(book.engine)
    for question, text in vehicle.answers.items():
        diagnosis.answer(question, book.parse_answer(question, text))
    return diagnosis


def outcome_read(diagnosis: Diagnosis, finding: Finding) -> int | None:
    """The outcome by the reading itself; a coarse gauge may be unable to tell."""
    if isinstance(finding.source, ByBand):
        value = diagnosis.value(finding.source.fact)
        if not isinstance(value, Number):
            return None
        return next(k for k, band in enumerate(finding.source.bands) if value.value in band)
    weights = diagnosis.weights(finding.id)
    return None if weights is None else weights.index(max(weights))


def drawn(vehicles: Vehicles, faults: tuple[str, ...], count: int) -> list[Vehicle]:
    found = [vehicles.vehicle(faults, Random(f"{faults} {number}")) for number in range(count)]
    return [vehicle for vehicle in found if vehicle is not None]


@pytest.mark.parametrize(
    "faults", [(), ("rings-too-thin",), ("wheel-unbalance", "flange-loose")], ids=str
)
def test_findings_are_seen_as_often_as_the_rulebook_says(
    book: Rulebook, vehicles: Vehicles, faults: tuple[str, ...]
) -> None:
    """Against SciPy's exact binomial test, for each outcome of each finding."""
    seen: dict[str, Counter[int]] = {}
    for vehicle in drawn(vehicles, faults, COUNT):
        diagnosis = diagnosis_of(book, vehicle)
        for finding in book.rules.findings:
            outcome = outcome_read(diagnosis, finding)
            if outcome is not None:
                seen.setdefault(finding.id, Counter())[outcome] += 1
    for finding in book.rules.findings:
        counts = seen[finding.id]
        for outcome, rate in enumerate(rates_with(finding, faults)):
            test = binomtest(counts[outcome], counts.total(), rate)
            assert test.pvalue > UNLIKELY, (finding.id, outcome, rate, counts)


def test_what_is_answered_is_asked_and_does_not_contradict_itself(
    book: Rulebook, vehicles: Vehicles
) -> None:
    for vehicle in drawn(vehicles, ("rings-too-thin",), 100):
        diagnosis = diagnosis_of(book, vehicle)
        assert diagnosis.conflicts() == ()
        asked = {q.id for q in book.rules.questions if diagnosis.is_asked(q.id)}
        assert set(vehicle.answers) == asked


def test_cause_exists_on_every_vehicle_that_has_it(book: Rulebook, vehicles: Vehicles) -> None:
    layouts = {v.answers["layout"] for v in drawn(vehicles, ("support-worn",), 40)}
    assert layouts == {"two-piece"}


def test_options_of_nothing_stand_alone_and_something_is_always_chosen(
    book: Rulebook, vehicles: Vehicles
) -> None:
    chosen = Counter(
        v.answers["felt-in"] for v in drawn(vehicles, (), 200) if v.answers.get("vibrates") == "yes"
    )
    assert "none" not in chosen
    assert len(chosen) > 1


def test_vehicle_does_not_depend_on_those_drawn_before(book: Rulebook) -> None:
    fresh, used = Vehicles(book), Vehicles(book)
    for number in range(20):
        used.vehicle(used.faults(Random(number)), Random(number))
    for seed in ("a", "b", "c"):
        faults = ("wheel-unbalance",)
        assert fresh.vehicle(faults, Random(seed)) == used.vehicle(faults, Random(seed))


def test_seed_gives_the_vehicle_that_it_always_gave(vehicles: Vehicles) -> None:
    """Check sums of vehicles of a rulebook that stays as it is: whoever changes how vehicles are
    drawn changes those of every class."""
    marks = []
    for number in range(3):
        rng = Random(vehicles.seed_text(7, number))
        vehicle = vehicles.vehicle(vehicles.faults(rng), rng)
        assert vehicle is not None
        marks.append(mark_of(vehicle))
    assert marks == ["893ca61cab27", "907cb20f2995", "423330a11eac"]


def test_faults_are_drawn_by_the_prior(book: Rulebook, vehicles: Vehicles) -> None:
    """Against SciPy's exact binomial test; the prior is that of a new diagnosis."""
    prior = Diagnosis(book.engine).prior()
    counts = Counter(vehicles.faults(Random(f"prior {number}")) for number in range(4000))
    assert binomtest(counts[()], 4000, prior.none).pvalue > UNLIKELY
    for cause, mass in zip(book.rules.causes, prior.single, strict=True):
        assert binomtest(counts[cause.id,], 4000, mass).pvalue > UNLIKELY


def test_readings_are_written_in_the_unit_of_the_question(vehicles: Vehicles) -> None:
    (vehicle,) = drawn(vehicles, ("rings-too-thin",), 1)
    assert vehicle.answers["yoke-span"].endswith(" mm")
