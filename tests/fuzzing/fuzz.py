"""A long run of inputs by chance: `python tests/fuzzing/fuzz.py --runs 100000`.

Without target names all are fed, in turn. Each input that fails is kept in the folder of
regressions, once for each place in the code; a test feeds those again for ever. With --coverage
(needs atheris) a single target is fed by what reaches new code. Exit status 1 when one failed, or
when the memory grew by more than 200 MB.
"""

from __future__ import annotations

import argparse
import hashlib
import resource
import sys
import traceback
from pathlib import Path
from random import Random
from time import process_time

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

REGRESSIONS = Path(__file__).with_name("regressions")
WARM = 200  # inputs after which a target's memory is taken as its usual
MOST_GROWTH = 200.0  # MB beyond it


def megabytes() -> float:
    """The most memory this process has held."""
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return most / (1e6 if sys.platform == "darwin" else 1e3)


def keep(target: str, data: bytes) -> Path:
    """Put an input among the regressions."""
    path = REGRESSIONS / target / hashlib.sha256(data).hexdigest()[:16]
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data)
    return path


def run(target: str, runs: int, seed: int) -> int:
    """Feed one target; gives how many distinct places failed, one more when memory grew."""
    from tests.fuzzing.inputs import input_for
    from tests.fuzzing.watch import feed

    source = Random(f"{target} {seed}")
    failed: dict[tuple[str, int], Path] = {}
    slowest, usual = 0.0, 0.0
    begun = process_time()
    for number in range(runs):
        data = input_for(target, source)
        before = process_time()
        try:
            feed(target, data)
        except Exception as error:
            last = traceback.extract_tb(error.__traceback__)[-1]
            place = (last.filename, last.lineno or 0)
            if place not in failed:
                failed[place] = keep(target, data)
                traceback.print_exc()
        slowest = max(slowest, process_time() - before)
        if number == WARM:
            usual = megabytes()
    spent = process_time() - begun
    growth = megabytes() - usual if runs > WARM else 0.0
    grown = int(growth > MOST_GROWTH)
    print(
        f"{target:14} {runs} inputs, seed {seed}: {len(failed)} failed, slowest {slowest:.3f} s, "
        f"growth {growth:.1f} MB, {spent / runs * 1e3:.2f} ms an input",
        flush=True,
    )
    return len(failed) + grown


def by_coverage(target: str, runs: int) -> None:
    """Feed one target with what reaches new code. Ends the process."""
    import atheris

    with atheris.instrument_imports(include=["advisor"]):  # so nothing of it is imported before
        from tests.fuzzing.inputs import WORDS, input_for
        from tests.fuzzing.samples import SAMPLES
        from tests.fuzzing.watch import feed
    if target not in SAMPLES:
        sys.exit(f"the targets are {', '.join(SAMPLES)}")

    def mutate(data: bytes, most: int, seed: int) -> bytes:
        source = Random(seed)
        if source.random() < 0.3:
            return input_for(target, source)[:most]
        if source.random() < 0.5:
            at = source.randint(0, len(data))
            return (data[:at] + source.choice(WORDS) + data[at:])[:most]
        mutated: bytes = atheris.Mutate(data or SAMPLES[target][0], most)
        return mutated

    folder = REGRESSIONS / target
    folder.mkdir(parents=True, exist_ok=True)
    words = [sys.argv[0], f"-runs={runs}", f"-artifact_prefix={folder}/", "-max_len=4000"]
    atheris.Setup(words, lambda data: feed(target, data), custom_mutator=mutate)
    atheris.Fuzz()


def main() -> int:
    """Feed the targets that were asked for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("target", nargs="*", help="all by default; a wrong name lists them")
    parser.add_argument("--runs", type=int, default=10_000, help="inputs for each target")
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--coverage", action="store_true", help="let atheris choose the inputs")
    options = parser.parse_args()
    if options.coverage and options.target:
        by_coverage(options.target[0], options.runs)
    from tests.fuzzing.samples import SAMPLES

    unknown = set(options.target) - SAMPLES.keys()
    if unknown or options.coverage:
        parser.error(f"the targets are {', '.join(SAMPLES)}")
    targets = options.target or list(SAMPLES)
    failed = [run(target, options.runs, options.seed) for target in targets]
    return int(any(failed))


if __name__ == "__main__":
    sys.exit(main())
