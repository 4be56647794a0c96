"""Our engine beside general rule engines: `python tests/benchmarks/bench_field.py`.

Needs the extras `test` and `bench`. Every engine gets the same rules and vehicles, each in a
process of its own, and what it derives is compared with a plain oracle before it is timed; an
engine that derives something else is not timed. Figures are process time. The ratios hold within
one run only. The table is printed, and with --json FILE also kept. It asserts nothing.
"""

from __future__ import annotations

import argparse
import json
import random
import resource
import subprocess
import sys
from collections.abc import Callable
from importlib import import_module
from pathlib import Path
from statistics import median, quantiles
from time import process_time
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from tests.benchmarks.field import work  # noqa: E402

ENGINES = {
    "ours": "ours:Ours",
    "clipspy": "with_clips:Clips",
    "zen-engine": "with_zen:Zen",
    "rule-engine": "with_rule_engine:RuleEngine",
    "experta": "with_experta:Experta",
}
SIZES = (100, 1_000, 10_000)
TOO_SLOW = {("experta", 10_000), ("rule-engine", 10_000)}  # minutes for each vehicle
SHARES = {"few": 0.01, "many": 0.3}  # of the questions that a vehicle's answers are to
CHECKED = 3  # vehicles whose derived facts are compared with the oracle
VEHICLES = 20
SINGLE_ANSWERS = 200
MOST_SECONDS = 20.0  # for the vehicles of one share
COLUMNS = ("load ms", "few ms", "many ms", "answer us", "answer p99", "back us", "back p99", "MB")


def timed(job: Callable[[], object]) -> float:
    """Process time in seconds."""
    start = process_time()
    job()
    return process_time() - start


def measure(name: str, size: int) -> dict[str, float]:
    """The figures of one engine at one size, by column."""
    module, class_name = ENGINES[name].split(":")
    make: Any = getattr(import_module(f"tests.benchmarks.field.{module}"), class_name)
    book = work.rulebook(size)
    before = memory()
    made: list[Any] = []
    figures = {"load ms": 1e3 * timed(lambda: made.append(make(book)))}
    (engine,) = made
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


def single_answers(engine: Any, book: Any) -> dict[str, float]:
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


def memory() -> float:
    """The most memory that this process has held, in MB."""
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return most / (1e6 if sys.platform == "darwin" else 1e3)


def in_own_process(name: str, size: int) -> dict[str, float] | str:
    """The figures, or in words why there are none."""
    if (name, size) in TOO_SLOW:
        return "too slow to measure"
    done = subprocess.run(
        [sys.executable, __file__, "--one", name, str(size)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        return (done.stderr.strip().splitlines() or ["failed"])[-1]
    figures: dict[str, float] = json.loads(done.stdout)
    return figures


def row(name: str, cells: list[str]) -> str:
    """One line of the table."""
    return f"{name:14}" + "".join(f"{cell:>17}" for cell in cells)


def cell(figures: dict[str, float], ours: dict[str, float], column: str) -> str:
    """A figure, and how many times ours it is."""
    if column not in figures:
        return "-"
    value, own = figures[column], ours.get(column, 0.0)
    return f"{value:.3g} x{value / own:.2g}" if own else f"{value:.3g}"


def main() -> None:
    """Measure each engine at each size and print a table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--one", nargs=2, metavar=("ENGINE", "SIZE"), help=argparse.SUPPRESS)
    parser.add_argument("--json", type=Path, metavar="FILE", help="keep the figures here")
    parser.add_argument("--size", type=int, action="append", help="rules; several may be given")
    options = parser.parse_args()
    if options.one:
        print(json.dumps(measure(options.one[0], int(options.one[1]))))
        return
    kept: dict[str, dict[str, dict[str, float] | str]] = {}
    for size in options.size or SIZES:
        questions = int(size * work.QUESTIONS_PER_RULE)
        answered = " and ".join(f"{max(1, round(s * questions))}" for s in SHARES.values())
        print(f"{size} rules, {questions} questions, vehicles with {answered} answers", flush=True)
        print(row("", list(COLUMNS)))
        kept[str(size)] = results = {}
        for name in ENGINES:
            results[name] = figures = in_own_process(name, size)
            ours = results["ours"]
            if isinstance(figures, str) or isinstance(ours, str):
                print(f"{name:14} {figures}", flush=True)
            else:
                print(row(name, [cell(figures, ours, c) for c in COLUMNS]), flush=True)
    if options.json:
        options.json.write_text(json.dumps(kept, indent=2) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
