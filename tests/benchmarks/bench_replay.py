"""A million closed cases ranked again: `python tests/benchmarks/bench_replay.py --help`.

Makes simulated closed cases (seeded), writes them as JSON lines over and over until there are
enough, replays them by the program itself, and prints what it took: processor time a case,
minutes, and the peak memory of the parent and of its workers together with those at a tenth of
the cases. The cases repeat, so the scores say nothing about a rulebook; the work is the same.
"""

from __future__ import annotations

import argparse
import json
import os
import resource
import subprocess
import sys
import tempfile
import threading
from itertools import cycle, islice
from pathlib import Path
from time import monotonic, sleep
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from advisor.cases.lines import case_data, case_line  # noqa: E402
from advisor.rulebook import load, shipped  # noqa: E402
from advisor.vehicles import Vehicles, simulated_cases  # noqa: E402

MIB = 1024.0 * 1024.0
HUNDRED_MILLION = 100_000_000


def write_distinct(path: Path, count: int, seed: int, tests: float) -> None:
    """Write so many different simulated cases, a share `tests` of the tests done in each."""
    vehicles = Vehicles(load(shipped()))
    with path.open("w", encoding="utf-8") as file:
        for case in simulated_cases(vehicles, count, seed, tests=tests, dont_know=0.1):
            file.write(case_line(case_data(case)))


def write_cycled(path: Path, distinct: Path, count: int) -> None:
    """Write so many lines, those of `distinct` over and over."""
    lines = distinct.read_bytes().splitlines(keepends=True)
    with path.open("wb") as file:
        file.writelines(islice(cycle(lines), count))


def memory_mib(pid: int) -> float:
    """The largest memory that a process has held so far; 0 when it has ended."""
    try:
        status = Path(f"/proc/{pid}/status").read_text(encoding="utf-8")
    except OSError:
        return 0.0
    peak = [line.split()[1] for line in status.splitlines() if line.startswith("VmHWM")]
    return float(peak[0]) / 1024.0 if peak else 0.0


def children_of(pid: int) -> list[int]:
    """The processes that a process has started and that still run."""
    try:
        text = Path(f"/proc/{pid}/task/{pid}/children").read_text(encoding="utf-8")
    except OSError:
        return []
    return [int(word) for word in text.split()]


def replayed(cases: Path, words: list[str]) -> tuple[dict[str, Any], dict[str, float]]:
    """What `advisor replay` says of the cases, and what it took."""
    peaks: dict[int, float] = {}
    before, start = resource.getrusage(resource.RUSAGE_CHILDREN), monotonic()
    process = subprocess.Popen(
        [sys.executable, "-m", "advisor", "replay", str(cases), "--json", *words],
        stdout=subprocess.PIPE,
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )

    def watch() -> None:
        while process.poll() is None:
            for pid in (process.pid, *children_of(process.pid)):
                peaks[pid] = max(peaks.get(pid, 0.0), memory_mib(pid))
            sleep(0.5)

    watcher = threading.Thread(target=watch)
    watcher.start()
    out, _ = process.communicate()
    watcher.join()
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    cpu = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    workers = [peak for pid, peak in peaks.items() if pid != process.pid]
    return json.loads(out), {
        "seconds": monotonic() - start,
        "processor_seconds": cpu,
        "parent_mib": peaks.get(process.pid, 0.0),
        "worker_mib": max(workers, default=0.0),
    }


def report(count: int, size: int, took: dict[str, float]) -> None:
    """Print what so many cases took, and what a hundred million would."""
    each_ms = took["processor_seconds"] / count * 1e3
    print(
        f"{count:>9} cases, {size / count / 1024.0:.1f} KiB each: {each_ms:.2f} ms of processor "
        f"a case, {took['seconds'] / 60.0:.1f} min; peak memory: parent "
        f"{took['parent_mib']:.0f} MiB, largest worker {took['worker_mib']:.0f} MiB"
    )
    hours = each_ms * HUNDRED_MILLION / 3.6e6
    disk = size / count * HUNDRED_MILLION / 1e9
    print(
        f"          a hundred million: {hours:.0f} core hours, {disk:.0f} GB of lines", flush=True
    )


def main() -> None:
    """Make the cases, replay a hundredth, a tenth and all of them, and report."""
    words = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    words.add_argument("--cases", type=int, default=1_000_000)
    words.add_argument("--distinct", type=int, default=20_000)
    words.add_argument("--tests", type=float, default=0.2, help="share of the tests done")
    words.add_argument("--seed", type=int, default=7)
    words.add_argument("--processes", type=int, default=2)
    words.add_argument("--cluster", help="replay on this dask cluster too, and compare")
    words.add_argument("--from", dest="lines", type=Path, help="these lines instead of new cases")
    options = words.parse_args()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        distinct = options.lines or folder / "distinct.jsonl"
        if options.lines is None:
            write_distinct(distinct, options.distinct, options.seed, options.tests)
        cases = folder / "cases.jsonl"
        for count in (options.cases // 100, options.cases // 10, options.cases):
            write_cycled(cases, distinct, count)
            found, took = replayed(cases, ["--processes", str(options.processes)])
            report(count, cases.stat().st_size, took)
        if options.cluster:
            again, took = replayed(cases, ["--cluster", options.cluster])
            same = "the same results" if again == found else "OTHER RESULTS"
            print(
                f"on the cluster: {same}, {took['seconds'] / 60.0:.1f} min; "
                f"peak memory of this side: {took['parent_mib']:.0f} MiB"
            )


if __name__ == "__main__":
    main()
