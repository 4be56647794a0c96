"""Our engine beside general rule engines: `python tests/benchmarks/bench_field.py`.

Needs the extras `test` and `bench`. Every engine gets the same rules and vehicles, each in a
process of its own, and what it derives is compared with a plain oracle before it is timed; an
engine that derives something else is not timed. Figures are process time. The ratios hold within
one run only. The table is printed, and with --json FILE also kept. It asserts nothing.
"""

from __future__ import annotations

import random
import sys
from pathlib import Path
from statistics import median, quantiles
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.benchmarks.comparing import Comparison, Figures, Size, made, memory, timed
from tests.benchmarks.field import work

ENGINES = {
    "ours": "field.ours:Ours",
    "clipspy": "field.with_clips:Clips",
    "zen-engine": "field.with_zen:Zen",
    "rule-engine": "field.with_rule_engine:RuleEngine",
    "experta": "field.with_experta:Experta",
}
SIZES = (100, 1_000, 10_000)
TOO_SLOW = {("experta", (10_000,)), ("rule-engine", (10_000,))}  # minutes for each vehicle
SHARES = {"few": 0.01, "many": 0.3}  # of the questions that a vehicle's answers are to
CHECKED = 3  # vehicles whose derived facts are compared with the oracle
VEHICLES = 20
SINGLE_ANSWERS = 200
MOST_SECONDS = 20.0  # for the vehicles of one share
COLUMNS = ("load ms", "few ms", "many ms", "answer us", "answer p99", "back us", "back p99", "MB")


def sized(rules: int) -> Size:
    """So many rules, and in words what vehicles they are tried on."""
    questions = int(rules * work.QUESTIONS_PER_RULE)
    answered = " and ".join(f"{max(1, round(s * questions))}" for s in SHARES.values())
    title = f"{rules} rules, {questions} questions, vehicles with {answered} answers"
    return Size((rules,), title)


def measure(name: str, rules: int) -> Figures:
    """The figures of one engine at one size, by column."""
    book = work.rulebook(rules)
    before = memory()
    engine, figures = made(ENGINES[name], book)
    for label, share in SHARES.items():
        vehicles = [work.answers(book, seed, share) for seed in range(VEHICLES)]
        for known in vehicles[:CHECKED]:
            engine.begin(known)
            if engine.derived() != work.expected(book, known):
                raise SystemExit(f"{name} derives something else than the oracle")
        times: list[float] = []
        for known in vehicles:
            if sum(times) > MOST_SECONDS:
                break
            times.append(timed(lambda known=known: engine.begin(known)))  # type: ignore[misc]
        figures[f"{label} ms"] = 1e3 * median(times)
    if engine.takes_back:
        figures |= single_answers(engine, book)
    figures["MB"] = memory() - before
    return figures


def single_answers(engine: Any, book: Any) -> Figures:
    """One answer more and the same less, on a vehicle with few answers."""
    known = work.answers(book, 0, SHARES["few"])
    source = random.Random(1)
    engine.begin(known)
    ups, downs = [], []
    left = [question for question in book.questions if question.id not in known]
    for question in source.choices(left, k=SINGLE_ANSWERS):
        value = work.answer(source, question)
        ups.append(timed(lambda q=question.id, v=value: engine.answer(q, v)))  # type: ignore[misc]
        downs.append(timed(lambda q=question.id: engine.take_back(q)))  # type: ignore[misc]
    engine.begin(known)
    if engine.derived() != work.expected(book, known):
        raise SystemExit(f"{engine.name} derives something else after taking back")
    return {
        "answer us": 1e6 * median(ups),
        "answer p99": 1e6 * quantiles(ups, n=100)[-1],
        "back us": 1e6 * median(downs),
        "back p99": 1e6 * quantiles(downs, n=100)[-1],
    }


if __name__ == "__main__":
    Comparison(__file__, ENGINES, map(sized, SIZES), COLUMNS, measure, TOO_SLOW).main(__doc__)
