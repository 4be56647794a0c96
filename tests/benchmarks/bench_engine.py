"""Speed of the engine on made-up rulebooks: `python tests/benchmarks/bench_engine.py`.

Prints process time in milliseconds for each size, and how each figure grows from the size before
it. It asserts nothing: compare figures of one run with each other, not with another machine's.
"""

from __future__ import annotations

import random
import sys
from collections.abc import Callable
from dataclasses import asdict, dataclass
from pathlib import Path
from statistics import median, quantiles
from time import process_time

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from advisor.engine.diagnosis import Diagnosis, Engine
from advisor.engine.rules import All, AnyOf, Condition, Finding, Is, Not, Place, Rules
from advisor.engine.values import Value
from tests import helpers
from tests.benchmarks.comparing import keep, words

SIZES = ((80, 25), (100, 20), (100, 50), (1_000, 20), (1_000, 50), (10_000, 20), (10_000, 50))
COLUMNS = ("build", "answer", "p99", "take back", "posterior", "answer+posterior", "ranking",
           "trail", "turns", "plan", "plan at start")  # fmt: skip
PLACES = (helpers.DESK, Place("road", 15.0), Place("lift", 10.0), helpers.BENCH)
REPEATS = 300


def rulebook(findings: int, causes: int) -> Rules:
    """A rulebook with a question for each finding; each finding speaks to four causes and in
    four cases of ten reads up to two other questions as well; two questions make a test."""
    source = random.Random(findings * 1_000 + causes)
    ids = [f"cause-{place}" for place in range(causes)]
    questions = [helpers.yes_no(f"q-{place}") for place in range(findings)]
    tests = [
        helpers.work(
            f"test-{place // 2}",
            [item.id for item in questions[place : place + 2]],
            place=source.choice(PLACES).id,
            minutes=source.choice([0.5, 2.0, 5.0, 10.0]),
        )
        for place in range(0, findings, 2)
    ]
    return helpers.rules(
        questions=questions,
        findings=[_finding(source, place, findings, ids) for place in range(findings)],
        causes=[
            helpers.cause(
                name,
                commonness=source.choice([0.5, 1.0, 3.0, 5.0]),
                repair_minutes=source.choice([20.0, 45.0, 90.0, 180.0]),
            )
            for name in ids
        ],
        places=PLACES,
        tests=tests,
    )


def _finding(source: random.Random, place: int, count: int, causes: list[str]) -> Finding:
    own: Condition = Is(f"q-{place}", True)
    others = [Is(f"q-{source.randrange(count)}", True) for _ in range(2)]
    when = source.choice([own, own, own, All((own, Not(others[0]))), AnyOf((own, *others))])
    rates = {name: source.choice([0.3, 0.6, 0.85]) for name in source.sample(causes, 4)}
    return helpers.finding(f"f-{place}", rates, usual=source.choice([0.05, 0.1, 0.2]), when=when)


@dataclass(frozen=True, slots=True)
class Figures:
    """Milliseconds by column, for one size."""

    findings: int
    causes: int
    by_column: dict[str, float]


def milliseconds(work: Callable[[], object], repeats: int) -> list[float]:
    """Process time of each run of `work`."""
    times = []
    for _ in range(repeats):
        start = process_time()
        work()
        times.append((process_time() - start) * 1e3)
    return times


def measured(findings: int, causes: int) -> Figures:
    """All figures of one size, in a case with sixteen answers."""
    book = rulebook(findings, causes)
    engine: list[Engine] = []
    build = milliseconds(lambda: engine.append(Engine(book)), 1)
    start = Diagnosis(engine[0])
    source = random.Random(1)
    names = [item.id for item in book.questions]
    case = Diagnosis(engine[0])
    for name in source.sample(names, 16):
        case.answer(name, source.random() < 0.3)
    fresh: list[tuple[str, Value]] = [
        (name, source.random() < 0.3)
        for name in source.choices([n for n in names if not case.is_answered(n)], k=REPEATS)
    ]
    answers, backs, beliefs = [], [], []
    for name, value in fresh:
        answers += milliseconds(lambda n=name, v=value: case.answer(n, v), 1)  # type: ignore[misc]
        backs += milliseconds(lambda n=name: case.take_back(n), 1)  # type: ignore[misc]

    def answer_and_believe() -> None:
        case.answer(*fresh[0])
        case.belief()
        case.take_back(fresh[0][0])

    both = milliseconds(answer_and_believe, 50)

    for turn in range(50):
        case.answer("q-0", turn % 2 == 0)
        beliefs += milliseconds(case.belief, 1)
    few = 5 if findings <= 1_000 else 1
    return Figures(
        findings,
        causes,
        {
            "build": build[0],
            "answer": median(answers),
            "p99": quantiles(answers, n=100)[-1],
            "take back": median(backs),
            "posterior": median(beliefs),
            "answer+posterior": median(both),
            "ranking": median(milliseconds(case.ranking, 20)),
            "trail": median(milliseconds(lambda: case.trail("cause-0"), few)),
            "turns": median(milliseconds(case.turns, few)),
            "plan": median(milliseconds(lambda: case.plan(at="desk"), few)),
            "plan at start": median(milliseconds(lambda: start.plan(at="desk"), few)),
        },
    )


def row(cells: list[str]) -> str:
    """One line of the table."""
    return " ".join(cell.rjust(max(9, len(name))) for cell, name in zip(cells, HEAD, strict=True))


HEAD = ("findings", "causes", *COLUMNS)


def main() -> None:
    """Print the table, and below each row how much more it is than the last with as many causes."""
    options = words(__doc__).parse_args()
    kept: list[Figures] = []
    print("process time in milliseconds; a case with sixteen answers")
    print(row(list(HEAD)))
    last: dict[int, Figures] = {}
    for findings, causes in SIZES:
        now = measured(findings, causes)
        kept.append(now)
        print(row([str(findings), str(causes), *(f"{now.by_column[c]:.3f}" for c in COLUMNS)]))
        before = last.get(causes)
        if before is not None:
            ratios = [now.by_column[c] / max(before.by_column[c], 1e-6) for c in COLUMNS]
            growth = f"x{findings / before.findings:g}"
            print(row([growth, "", *(f"x{ratio:.1f}" for ratio in ratios)]))
        last[causes] = now
    keep(options.json, [asdict(figures) for figures in kept])


if __name__ == "__main__":
    main()
