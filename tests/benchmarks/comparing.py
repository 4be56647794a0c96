"""Several programs at the same work: each measured in a process of its own, one table for all."""

from __future__ import annotations

import argparse
import json
import resource
import subprocess
import sys
from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from time import process_time
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
Figures = dict[str, float]


@dataclass(frozen=True)
class Size:
    """One size of the work: the numbers that `measure` takes, and what stands above its table."""

    numbers: tuple[int, ...]
    title: str


def timed(job: Callable[[], object]) -> float:
    """Process time in seconds."""
    start = process_time()
    job()
    return process_time() - start


def memory() -> float:
    """The most memory that this process has held, in MB."""
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return most / (1e6 if sys.platform == "darwin" else 1e3)


def words(text: str | None) -> argparse.ArgumentParser:
    """The command line of a script that prints a table, described by `text`."""
    parser = argparse.ArgumentParser(description=text)
    parser.add_argument("--json", type=Path, metavar="FILE", help="keep the figures here")
    return parser


def keep(file: Path | None, figures: object) -> None:
    """Write the figures as JSON, where a file is given."""
    if file is not None:
        file.write_text(json.dumps(figures, indent=2) + "\n", encoding="utf-8")


def made(where: str, work: object) -> tuple[Any, Figures]:
    """The program that a `module:Class` of this package adapts, given the work; its load time."""
    module, name = where.split(":")
    make: Any = getattr(import_module(f"tests.benchmarks.{module}"), name)
    programs: list[Any] = []
    seconds = timed(lambda: programs.append(make(work)))
    return programs[0], {"load ms": 1e3 * seconds}


@dataclass(frozen=True)
class Comparison:
    """The programs, ours first, the sizes, and how one is measured, of the script at `script`."""

    script: str
    programs: Collection[str]
    sizes: Iterable[Size]
    columns: Sequence[str]
    measure: Callable[..., Figures]
    too_slow: Collection[tuple[str, tuple[int, ...]]] = ()

    def main(self, text: str | None) -> None:
        """The script's command line: measure all, print a table, keep it with --json FILE.

        Each figure is followed by how many times ours it is.
        """
        parser = words(text)
        parser.add_argument("--one", nargs="+", metavar="WORD", help=argparse.SUPPRESS)
        parser.add_argument("--size", type=int, action="append", help="only these, by first number")
        options = parser.parse_args()
        if options.one:
            name, *numbers = options.one
            print(json.dumps(self.measure(name, *map(int, numbers))))
            return
        sizes = [one for one in self.sizes if not options.size or one.numbers[0] in options.size]
        keep(options.json, {size.title: self._table(size) for size in sizes})

    def _table(self, size: Size) -> dict[str, Figures | str]:
        print(size.title, flush=True)
        print(_row("", self.columns))
        results: dict[str, Figures | str] = {}
        for name in self.programs:
            results[name] = self._of_own_process(name, size)
            ours = next(iter(results.values()))
            print(_line(name, results[name], ours, self.columns), flush=True)
        return results

    def _of_own_process(self, name: str, size: Size) -> Figures | str:
        """The figures, or in words why there are none."""
        if (name, size.numbers) in self.too_slow:
            return "too slow to measure"
        done = subprocess.run(
            [sys.executable, self.script, "--one", name, *map(str, size.numbers)],
            cwd=ROOT,
            capture_output=True,
            text=True,
            check=False,
        )
        if done.returncode:
            return (done.stderr.strip().splitlines() or ["failed"])[-1]
        figures: Figures = json.loads(done.stdout)
        return figures


def _line(name: str, figures: Figures | str, ours: Figures | str, columns: Sequence[str]) -> str:
    if isinstance(figures, str) or isinstance(ours, str):
        return f"{name:14} {figures}"
    return _row(name, [_cell(figures, ours, column) for column in columns])


def _row(name: str, cells: Iterable[str]) -> str:
    return f"{name:14}" + "".join(f"{cell:>17}" for cell in cells)


def _cell(figures: Figures, ours: Figures, column: str) -> str:
    if column not in figures:
        return "-"
    value, own = figures[column], ours.get(column, 0.0)
    return f"{value:.3g} x{value / own:.2g}" if own else f"{value:.3g}"
