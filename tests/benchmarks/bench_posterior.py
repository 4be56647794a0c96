"""Our posterior beside that of other programs: `python tests/benchmarks/bench_posterior.py`.

Needs the extra `test`. Every program gets the same causes, rates and answers, in a process of its
own; its posterior of every hypothesis must agree with a plain product within 1e-9 before it is
timed. An answer more is timed with the marginals after it, and with the table of all hypotheses.
Figures are process time; the ratios hold within one run only. It asserts nothing.
"""

from __future__ import annotations

import sys
from pathlib import Path
from statistics import median, quantiles

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.benchmarks.comparing import Comparison, Figures, Size, made, memory, timed
from tests.benchmarks.posterior.work import Answers, answers, work

PROGRAMS = {
    "ours": "posterior.ours:Ours",
    "numpy": "posterior.with_numpy:Numpy",
    "scikit-learn": "posterior.with_sklearn:ScikitLearn",
    "pgmpy": "posterior.with_pgmpy:Pgmpy",
}
SIZES = ((20, 200), (50, 200), (50, 1_000), (75, 200))  # causes, findings
ANSWERS = 16
VEHICLES = 20
CHECKED = 3  # vehicles whose posterior is compared with the plain product
MORE_ANSWERS = 200
MOST_SECONDS = 10.0  # for the answers of one kind
CLOSE = 1e-9
COLUMNS = ("load ms", "vehicle ms", "answer us", "answer p99", "table us", "table p99", "MB")


def sized(numbers: tuple[int, int]) -> Size:
    """So many causes and findings, and in words how many hypotheses that makes."""
    causes, findings = numbers
    hypotheses = 1 + causes * (causes + 1) // 2
    title = f"{causes} causes, {findings} findings: {hypotheses} hypotheses"
    return Size(numbers, f"{title}, vehicles with {ANSWERS} answers")


def measure(name: str, causes: int, findings: int) -> Figures:
    """The figures of one program at one size, by column."""
    job = work(causes, findings)
    before = memory()
    program, figures = made(PROGRAMS[name], job)
    vehicles = [answers(findings, ANSWERS, seed) for seed in range(VEHICLES)]
    for known in vehicles[:CHECKED]:
        program.begin(known)
        found, expected = program.table(), job.expected(known)
        if max(abs(a - b) for a, b in zip(found, expected, strict=True)) > CLOSE:
            raise SystemExit(f"{name} believes something else than the plain product")

    def whole(known: Answers) -> None:
        program.begin(known)
        program.marginals()

    times = [timed(lambda known=known: whole(known)) for known in vehicles]  # type: ignore[misc]
    figures["vehicle ms"] = 1e3 * median(times)
    more = [place for place in range(findings) if place not in vehicles[0]]
    for label, read in (("answer", program.marginals), ("table", program.table)):

        def one(turn: int) -> None:
            program.answer(more[turn % len(more)], turn % 2 == 0)
            read()  # noqa: B023

        times = []
        for turn in range(MORE_ANSWERS):
            program.begin(vehicles[0])
            read()
            times.append(timed(lambda turn=turn: one(turn)))  # type: ignore[misc]
            if sum(times) > MOST_SECONDS:
                break
        figures[f"{label} us"] = 1e6 * median(times)
        figures[f"{label} p99"] = 1e6 * quantiles(times, n=100)[-1]
    figures["MB"] = memory() - before
    return figures


if __name__ == "__main__":
    Comparison(__file__, PROGRAMS, map(sized, SIZES), COLUMNS, measure).main(__doc__)
