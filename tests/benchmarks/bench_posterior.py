"""Our posterior beside that of other programs: `python tests/benchmarks/bench_posterior.py`.

Needs the extra `test`. Every program gets the same causes, rates and answers, in a process of its
own; its posterior of every hypothesis must agree with a plain product within 1e-9 before it is
timed. An answer more is timed with the marginals after it, and with the table of all hypotheses.
Figures are process time; the ratios hold within one run only. It asserts nothing.
"""

from __future__ import annotations

import argparse
import json
import subprocess
import sys
from importlib import import_module
from pathlib import Path
from statistics import median, quantiles
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from tests.benchmarks.bench_field import cell, memory, row, timed  # noqa: E402
from tests.benchmarks.posterior.work import answers, work  # noqa: E402

PROGRAMS = {
    "ours": "ours:Ours",
    "numpy": "with_numpy:Numpy",
    "scikit-learn": "with_sklearn:ScikitLearn",
    "pgmpy": "with_pgmpy:Pgmpy",
}
SIZES = ((20, 200), (50, 200), (50, 1_000), (75, 200))  # causes, findings
ANSWERS = 16
VEHICLES = 20
MORE_ANSWERS = 200
MOST_SECONDS = 10.0  # for the answers of one kind
CLOSE = 1e-9
COLUMNS = ("load ms", "vehicle ms", "answer us", "answer p99", "table us", "table p99", "MB")


def measure(name: str, causes: int, findings: int) -> dict[str, float]:
    """The figures of one program at one size, by column."""
    job = work(causes, findings)
    module, class_name = PROGRAMS[name].split(":")
    make: Any = getattr(import_module(f"tests.benchmarks.posterior.{module}"), class_name)
    before = memory()
    made: list[Any] = []
    figures = {"load ms": 1e3 * timed(lambda: made.append(make(job)))}
    (program,) = made
    vehicles = [answers(findings, ANSWERS, seed) for seed in range(VEHICLES)]
    for known in vehicles[:3]:
        program.begin(known)
        found, expected = program.table(), job.expected(known)
        if max(abs(a - b) for a, b in zip(found, expected, strict=True)) > CLOSE:
            raise SystemExit(f"{name} believes something else than the plain product")

    def whole(known: dict[int, bool]) -> None:
        program.begin(known)
        program.marginals()

    figures["vehicle ms"] = 1e3 * median(timed(lambda k=known: whole(k)) for known in vehicles)  # type: ignore[misc]
    more = [place for place in range(findings) if place not in vehicles[0]]
    for label, read in (("answer", program.marginals), ("table", program.table)):
        times: list[float] = []
        for turn in range(MORE_ANSWERS):
            program.begin(vehicles[0])
            read()

            def one(place: int = more[turn % len(more)], is_true: bool = turn % 2 == 0) -> None:
                program.answer(place, is_true)
                read()  # noqa: B023

            times.append(timed(one))
            if sum(times) > MOST_SECONDS:
                break
        figures[f"{label} us"] = 1e6 * median(times)
        figures[f"{label} p99"] = 1e6 * quantiles(times, n=100)[-1]
    figures["MB"] = memory() - before
    return figures


def in_own_process(name: str, causes: int, findings: int) -> dict[str, float] | str:
    """The figures, or in words why there are none."""
    words = [sys.executable, __file__, "--one", name, str(causes), str(findings)]
    done = subprocess.run(words, cwd=ROOT, capture_output=True, text=True, check=False)
    if done.returncode:
        return (done.stderr.strip().splitlines() or ["failed"])[-1]
    figures: dict[str, float] = json.loads(done.stdout)
    return figures


def main() -> None:
    """Measure each program at each size and print a table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--one", nargs=3, metavar="WORD", help=argparse.SUPPRESS)
    parser.add_argument("--json", type=Path, metavar="FILE", help="keep the figures here")
    options = parser.parse_args()
    if options.one:
        name, causes, findings = options.one
        print(json.dumps(measure(name, int(causes), int(findings))))
        return
    kept: dict[str, dict[str, dict[str, float] | str]] = {}
    for causes, findings in SIZES:
        hypotheses = 1 + causes * (causes + 1) // 2
        size = f"{causes} causes, {findings} findings"
        print(f"{size}: {hypotheses} hypotheses, vehicles with {ANSWERS} answers", flush=True)
        print(row("", list(COLUMNS)))
        kept[size] = results = {}
        for name in PROGRAMS:
            results[name] = figures = in_own_process(name, causes, findings)
            ours = results["ours"]
            if isinstance(figures, str) or isinstance(ours, str):
                print(f"{name:14} {figures}", flush=True)
            else:
                print(row(name, [cell(figures, ours, c) for c in COLUMNS]), flush=True)
    if options.json:
        options.json.write_text(json.dumps(kept, indent=2) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
