"""The benchmarks that take minutes, one after the other: `python -m tests.benchmarks`.

Needs the extras `test` and `bench`. With a folder behind it, each keeps its figures there as JSON.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
NAMES = ("bench_field", "bench_posterior", "bench_engine", "bench_program")


def main() -> None:
    """Run them, and stop at the first that fails."""
    for name in NAMES:
        words = [sys.executable, str(HERE / f"{name}.py")]
        if folders := sys.argv[1:]:
            Path(folders[0]).mkdir(parents=True, exist_ok=True)
            words += ["--json", str(Path(folders[0]) / f"{name}.json")]
        print(f"\n{name}", flush=True)
        subprocess.run(words, check=True)


if __name__ == "__main__":
    main()
