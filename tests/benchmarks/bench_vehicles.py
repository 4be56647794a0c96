"""Our advice against simpler ways: `python tests/benchmarks/bench_vehicles.py`.

Every way meets the same vehicles. The thresholds of the simpler ways are chosen to be best for
them: on as many other vehicles as --tune says, several are tried, and the quickest is taken.
Prints mean minutes to the cure (a vehicle handed on costs what handing on costs), and how much
longer than ours, with standard errors over the vehicles. It asserts nothing.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path
from statistics import mean, stdev

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from advisor.rulebook import load, shipped
from tests.benchmarks.vehicles import (
    NextTest,
    Result,
    Workshop,
    advised,
    by_information,
    checklist,
    file_order,
    go_about,
    in_order,
    vehicle,
)

SURE = (0.3, 0.5, 0.7, 0.8, 0.9, 0.95)
LEAST_NATS = (0.003, 0.01, 0.03, 0.1)
TUNING_SEEDS = 1_000_000  # the first of the vehicles on which thresholds are chosen


def run(shop: Workshop, seeds: Sequence[int], way: NextTest) -> list[Result]:
    """How each vehicle went."""
    return [go_about(shop, vehicle(shop, seed), way) for seed in seeds]


def minutes(results: Sequence[Result]) -> list[float]:
    """The minutes of each."""
    return [result.minutes for result in results]


def simpler_ways(shop: Workshop) -> dict[str, dict[str, NextTest]]:
    """For each simpler way, its variants by thresholds."""
    files, list_ = file_order(shop), checklist(shop)
    return {
        "file order": {f"sure {sure}": in_order(files, sure) for sure in SURE},
        "checklist": {f"sure {sure}": in_order(list_, sure) for sure in SURE},
        "information per minute": {
            f"sure {sure}, {nats} nats": by_information(sure, nats)
            for sure in SURE
            for nats in LEAST_NATS
        },
    }


def tuned(
    shop: Workshop, seeds: Sequence[int], variants: dict[str, NextTest]
) -> tuple[str, NextTest]:
    """The variant with the fewest minutes."""
    means = {name: mean(minutes(run(shop, seeds, way))) for name, way in variants.items()}
    best = min(means, key=means.__getitem__)
    print(
        "  tried:", ", ".join(f"{name}: {value:.0f}" for name, value in means.items()), flush=True
    )
    return best, variants[best]


def with_error(values: Sequence[float]) -> str:
    """A mean with its standard error."""
    return f"{mean(values):7.1f} +/- {stdev(values) / len(values) ** 0.5:4.1f}"


def line(name: str, results: Sequence[Result], ours: Sequence[Result]) -> str:
    """One row of the table."""
    more = [b - a for a, b in zip(minutes(ours), minutes(results), strict=True)]
    wrong = [float(result.wrong_repairs) for result in results]
    error = stdev(wrong) / len(wrong) ** 0.5
    saved = 100.0 * (1.0 - mean(minutes(ours)) / mean(minutes(results)))
    return (
        f"{name:48} {with_error(minutes(results))} {with_error(more)} {saved:5.1f} %"
        f"   {mean(wrong):.3f} +/- {error:.3f} {mean(r.tests for r in results):6.1f}"
        f" {mean(r.handed_on for r in results):7.3f}"
    )


def main() -> None:
    """Tune, run and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rulebook", type=Path, default=shipped())
    parser.add_argument("--count", type=int, default=2_000, help="vehicles")
    parser.add_argument("--tune", type=int, default=200, help="vehicles to choose thresholds on")
    options = parser.parse_args()
    shop = Workshop(load(options.rulebook).rules)
    seeds = range(options.count)
    ways: dict[str, NextTest] = {}
    for name, variants in simpler_ways(shop).items():
        print(name, flush=True)
        tuning = range(TUNING_SEEDS, TUNING_SEEDS + options.tune)
        best, way = tuned(shop, tuning, variants)
        ways[f"{name} ({best})"] = way
    ours = run(shop, seeds, advised)
    print(
        f"{'way':48} {'minutes':>17} {'more than ours':>16} {'saved':>7} {'wrong repairs':>17}"
        f" {'tests':>6} {'handed on':>9}"
    )
    print(line("our advice", ours, ours), flush=True)
    for name, way in ways.items():
        print(line(name, run(shop, seeds, way), ours), flush=True)


if __name__ == "__main__":
    main()
