"""Our advice against simpler ways: `python tests/benchmarks/bench_vehicles.py`.

Every way meets the same vehicles. The thresholds of the simpler ways are chosen to be best for
them: on as many other vehicles as --tune says, several are tried, and the quickest is taken.
Prints mean minutes to the cure (a vehicle handed on costs what handing on costs), and how much
longer than ours, with standard errors over the vehicles. It asserts nothing.

What was gone through is kept in the file --results, one line a vehicle and way; a run that was
broken off goes on there. Files of several runs, each with its own --seeds, are read together
with --with. Another program or rulebook needs another file.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Iterable, Sequence
from dataclasses import asdict
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
OURS = "our advice"


class Results:
    """How vehicles went, by way and seed; what is new goes to the end of a file."""

    def __init__(self, path: Path, others: Iterable[Path] = ()) -> None:
        self._path = path
        self._known: dict[tuple[str, int], Result] = {}
        for file in (path, *others):
            if file.exists():
                for line in file.read_text(encoding="utf-8").splitlines():
                    entry = json.loads(line)
                    key = entry.pop("way"), entry.pop("seed")
                    self._known[key] = Result(**entry)

    def of(self, shop: Workshop, way: str, next_test: NextTest, seed: int) -> Result:
        """How a vehicle went, gone through now unless it is known."""
        if (way, seed) not in self._known:
            result = go_about(shop, vehicle(shop, seed), next_test)
            self._known[way, seed] = result
            with self._path.open("a", encoding="utf-8") as file:
                line = json.dumps({"way": way, "seed": seed, **asdict(result)})
                file.write(line + "\n")
        return self._known[way, seed]

    def seeds(self, ways: Iterable[str]) -> list[int]:
        """The vehicles, those for tuning left out, that went all of these ways."""
        went = [{seed for name, seed in self._known if name == way} for way in ways]
        return sorted(seed for seed in set.intersection(*went) if seed < TUNING_SEEDS)

    def known(self, way: str, seeds: Iterable[int]) -> list[Result]:
        """How these vehicles went one way."""
        return [self._known[way, seed] for seed in seeds]


def simpler_ways(shop: Workshop) -> dict[str, dict[str, NextTest]]:
    """For each simpler way, its variants by thresholds."""
    files, list_ = file_order(shop), checklist(shop)
    return {
        "file order": {f"file order, sure {sure}": in_order(files, sure) for sure in SURE},
        "checklist": {f"checklist, sure {sure}": in_order(list_, sure) for sure in SURE},
        "information": {
            f"information per minute, sure {sure}, {nats} nats": by_information(sure, nats)
            for sure in SURE
            for nats in LEAST_NATS
        },
    }


def tuned(
    shop: Workshop, results: Results, count: int, variants: dict[str, NextTest]
) -> tuple[str, NextTest]:
    """The variant with the fewest minutes on the vehicles for tuning."""
    seeds = range(TUNING_SEEDS, TUNING_SEEDS + count)
    means = {
        name: mean(results.of(shop, name, way, seed).minutes for seed in seeds)
        for name, way in variants.items()
    }
    best = min(means, key=means.__getitem__)
    print("tried", ", ".join(f"{name}: {value:.0f}" for name, value in means.items()), flush=True)
    return best, variants[best]


def with_error(values: Sequence[float]) -> str:
    """A mean with its standard error."""
    return f"{mean(values):7.1f} +/- {stdev(values) / len(values) ** 0.5:4.1f}"


def line(name: str, results: Sequence[Result], ours: Sequence[Result]) -> str:
    """One row of the table."""
    minutes = [result.minutes for result in results]
    more = [b - a.minutes for a, b in zip(ours, minutes, strict=True)]
    wrong = [float(result.wrong_repairs) for result in results]
    error = stdev(wrong) / len(wrong) ** 0.5
    saved = 100.0 * (1.0 - mean(result.minutes for result in ours) / mean(minutes))
    return (
        f"{name:52} {with_error(minutes)} {with_error(more)} {saved:5.1f} %"
        f"   {mean(wrong):.3f} +/- {error:.3f} {mean(r.tests for r in results):6.1f}"
        f" {mean(r.handed_on for r in results):7.3f}"
        f" {mean(r.test_minutes for r in results):8.1f}"
        f" {mean(r.wrong_repair_minutes for r in results):8.1f}"
        f" {mean(r.place_changes for r in results):8.1f} {mean(r.places for r in results):5.1f}"
    )


def print_table(results: Results, names: Sequence[str], least: Sequence[float]) -> None:
    """The ways side by side, over the vehicles that went all of them."""
    seeds = results.seeds(names)
    ours = results.known(OURS, seeds)
    print(f"{len(seeds)} vehicles; knowing at once what is wrong: {with_error(least)} minutes")
    print(
        f"{'way':52} {'minutes':>17} {'more than ours':>16} {'saved':>7} {'wrong repairs':>17}"
        f" {'tests':>6} {'handed on':>9} {'testing':>8} {'wrongly':>8} {'changes':>8} {'least':>5}"
    )
    for name in names:
        print(line(name, results.known(name, seeds), ours), flush=True)


def main() -> None:
    """Tune, run and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rulebook", type=Path, default=shipped())
    parser.add_argument("--seeds", default="0:2000", help="vehicles, first and behind the last")
    parser.add_argument("--tune", type=int, default=200, help="vehicles to choose thresholds on")
    parser.add_argument("--results", type=Path, default=Path("vehicles.jsonl"))
    parser.add_argument("--with", dest="others", type=Path, nargs="*", default=[])
    options = parser.parse_args()
    first, end = map(int, options.seeds.split(":"))
    shop = Workshop(load(options.rulebook).rules)
    results = Results(options.results, options.others)
    ways: dict[str, NextTest] = {OURS: advised}
    for variants in simpler_ways(shop).values():
        ways.update([tuned(shop, results, options.tune, variants)])
    for seed in range(first, end):
        for name, way in ways.items():
            results.of(shop, name, way, seed)
    seeds = results.seeds(ways)
    print_table(results, list(ways), [vehicle(shop, seed).least_minutes(shop) for seed in seeds])


if __name__ == "__main__":
    main()
