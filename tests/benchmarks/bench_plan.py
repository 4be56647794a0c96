"""How good the advice is, and how long it takes: `python tests/benchmarks/bench_plan.py`.

First the expected minutes of following the advice, over the least that any way of going about
it can have, on small random rulebooks (tests/optimum.py). Then process time of one next step
with the shipped rulebook and with made-up ones of several sizes. It asserts nothing.
"""

from __future__ import annotations

import argparse
import random
import sys
from pathlib import Path
from statistics import mean, median, quantiles
from time import process_time

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from advisor.engine.diagnosis import Diagnosis, Engine
from advisor.engine.rules import All, Condition, Finding, Is, Not, Place, Rules
from advisor.engine.values import Kind
from advisor.rulebook import load, shipped
from tests import helpers, oracles
from tests.optimum import Model, is_within_reach, least_minutes, minutes_of_advice
from tests.random_books import LARGE_SIZES, USUAL_SIZES, small_book

PLACES = (helpers.DESK, Place("road", 15.0), Place("lift", 10.0), helpers.BENCH)
SIZES = ((30, 100, 60), (66, 250, 100), (100, 1_000, 400), (200, 2_000, 600))
ANSWERED = (0, 8, 32)  # questions answered before a next step is asked for


def ratios(count: int, first_seed: int, *, large: bool) -> dict[str, list[float]]:
    """Expected minutes over the optimum: with our advice, and with repairs alone.

    Rulebooks whose optimum takes too long to work out are left out.
    """
    found: dict[str, list[float]] = {"advice": [], "repairs only": []}
    for seed in range(first_seed, first_seed + count):
        book = small_book(seed, LARGE_SIZES if large else USUAL_SIZES)
        if not is_within_reach(book):
            continue
        model = Model(book)
        least = least_minutes(model)
        found["advice"].append(minutes_of_advice(model) / least)
        alone = oracles.repair_minutes(model.rules, oracles.prior(model.rules, {}))
        found["repairs only"].append(alone / least)
    return found


def print_ratios(found: dict[str, list[float]]) -> None:
    """The table of ratios to the optimum."""
    print(f"{len(found['advice'])} random rulebooks")
    print(f"{'minutes / least':16} {'mean':>8} {'90th':>8} {'99th':>8} {'max':>8} {'min':>12}")
    for name, values in found.items():
        cuts = quantiles(values, n=100) if len(values) > 1 else values * 99
        print(
            f"{name:16} {mean(values):8.4f} {cuts[89]:8.4f} {cuts[98]:8.4f}"
            f" {max(values):8.4f} {min(values):12.9f}"
        )


def rulebook(causes: int, findings: int, tests: int) -> Rules:
    """A made-up rulebook: each finding speaks to one to six causes; one in five reads a second
    question as well; questions are spread over the tests by chance."""
    source = random.Random(causes * 10_000 + findings)
    ids = [f"cause-{place}" for place in range(causes)]
    questions = [f"q-{place}" for place in range(findings)]
    asked: list[list[str]] = [[] for _ in range(tests)]
    for place, question in enumerate(questions):
        asked[place if place < tests else source.randrange(tests)].append(question)
    return helpers.rules(
        questions=[helpers.yes_no(question) for question in questions],
        findings=[_finding(source, place, questions, ids) for place in range(findings)],
        causes=[
            helpers.cause(
                name,
                commonness=source.choice((0.5, 1.0, 2.0, 3.0, 5.0)),
                repair_minutes=source.choice((20.0, 45.0, 60.0, 90.0, 180.0)),
            )
            for name in ids
        ],
        places=PLACES,
        tests=[
            helpers.work(
                f"test-{place}",
                names,
                place=source.choice(PLACES).id,
                minutes=source.choice((0.5, 1.0, 2.0, 5.0, 10.0, 20.0)),
            )
            for place, names in enumerate(asked)
        ],
    )


def _finding(source: random.Random, place: int, questions: list[str], causes: list[str]) -> Finding:
    own: Condition = Is(questions[place], True)
    if source.random() < 0.2:
        other = Is(source.choice(questions), True)
        own = source.choice((All((own, other)), All((own, Not(other)))))
    speaks = source.sample(causes, source.randint(1, 6))
    rates = {name: source.choice((0.02, 0.3, 0.6, 0.8, 0.9)) for name in speaks}
    return helpers.finding(f"f-{place}", rates, usual=source.choice((0.05, 0.1, 0.2)), when=own)


def milliseconds(book: Rules, answered: int, repeats: int) -> tuple[float, int]:
    """Median process time of belief and plan after some answers, and how many options."""
    source = random.Random(answered)
    case = Diagnosis(Engine(book))
    yes_no = [question.id for question in book.questions if question.kind is Kind.YES_NO]
    for question in source.sample(yes_no, min(answered, len(yes_no))):
        case.answer(question, source.random() < 0.2)
    times = []
    for turn in range(repeats):
        case.answer(yes_no[0], turn % 2 == 0)
        start = process_time()
        plan = case.plan(at="desk")
        times.append((process_time() - start) * 1e3)
    return median(times), len(plan.options)


def print_latency(repeats: int) -> None:
    """The table of process times."""
    print("next step, process time in milliseconds")
    print(f"{'causes':>7} {'findings':>9} {'tests':>6} {'answers':>8} {'ms':>8} {'options':>8}")
    for book in (load(shipped()).rules, *(rulebook(*size) for size in SIZES)):
        size = f"{len(book.causes):7} {len(book.findings):9} {len(book.tests):6}"
        for answered in ANSWERED:
            time, options = milliseconds(book, answered, repeats)
            print(f"{size} {answered:8} {time:8.1f} {options:8}")


def main() -> None:
    """Print both tables."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=1_000, help="random rulebooks (0: none)")
    parser.add_argument("--seed", type=int, default=0, help="seed of the first rulebook")
    parser.add_argument("--large", action="store_true", help="two to six causes and tests; slow")
    parser.add_argument("--repeats", type=int, default=9, help="next steps timed (0: none)")
    options = parser.parse_args()
    if options.count > 0:
        print_ratios(ratios(options.count, options.seed, large=options.large))
    if options.repeats > 0:
        print_latency(options.repeats)


if __name__ == "__main__":
    main()
