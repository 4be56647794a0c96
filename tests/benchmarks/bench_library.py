"""Times of a library of many cases: the first index, searching, one changed file, likeness.

Run: python tests/benchmarks/bench_library.py [--cases 10000]. The cases are drawn with a fixed
seed from the example vehicles of the shipped rulebook, with answers left out by chance.
"""

from __future__ import annotations

import argparse
import random
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from advisor.cases import CaseFile, Record, Result, RulebookRef, case_text, open_case  # noqa: E402
from advisor.cases.records import utc_text  # noqa: E402
from advisor.library import (  # noqa: E402
    Library,
    Wanted,
    consult,
    figures,
    light_of,
    search,
    similar,
)
from advisor.proof.reading import FOLDER, Example, read_examples  # noqa: E402
from advisor.rulebook import Rulebook, load, shipped  # noqa: E402

SEED = 20260101
START = datetime(2024, 1, 1, 8, 0, tzinfo=UTC)
KEPT = 0.8  # share of an example's answers that a case has
CLOSED = 0.8
BODIES = ("pickup", "van", "saloon", "estate", "coupe", "lorry")
COLOURS = ("red", "blue", "white", "grey", "green", "black", "silver")


def made_cases(
    examples: Sequence[Example], rulebook: Rulebook, count: int, seed: int = SEED
) -> list[CaseFile]:
    """So many cases, drawn with this seed."""
    chance = random.Random(seed)
    return [_made(chance, chance.choice(examples), rulebook, number) for number in range(count)]


def _made(chance: random.Random, example: Example, rulebook: Rulebook, number: int) -> CaseFile:
    began = START + timedelta(minutes=number * 53)
    answers = [item for item in example.model.answers.items() if chance.random() < KEPT]
    records = [
        Record(question=question, answer=text, at=utc_text(began + timedelta(minutes=k)))
        for k, (question, text) in enumerate(answers)
    ]
    causes = sorted(example.right - {"none-of-the-listed"})
    is_closed = chance.random() < CLOSED and bool(example.right)
    outcome = Result(causes=tuple(causes), none_of_the_listed=not causes) if is_closed else None
    body, colour = chance.choice(BODIES), chance.choice(COLOURS)
    return CaseFile(
        format=1,
        id=f"made-{number}",
        rulebook=RulebookRef(id=rulebook.meta.id, version=rulebook.meta.version),
        vehicle=f"A {colour} {body} with {chance.randrange(20, 300)} thousand kilometres.",
        complaint=example.model.says,
        answers=tuple(records),
        minutes_spent=float(chance.randrange(10, 200)),
        outcome=outcome,
    )


def write_cases(folder: Path, cases: Sequence[CaseFile]) -> None:
    """Write the cases into a folder, without the care that real ones are given."""
    for case in cases:
        (folder / f"{case.id}.yaml").write_text(case_text(case), encoding="utf-8")


def main() -> None:
    """Print the times."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--cases", type=int, default=10_000)
    count = words.parse_args().cases
    rulebook = load(shipped())
    examples = read_examples(shipped() / FOLDER, rulebook)
    light = light_of(shipped(), (), None, lambda: rulebook)
    with tempfile.TemporaryDirectory() as made:
        folder, index = Path(made, "cases"), Path(made, "index.sqlite")
        folder.mkdir()
        write_cases(folder, made_cases(examples, rulebook, count))
        time.sleep(2.5)  # until the times of the files have settled
        first = folder / "made-0.yaml"

        def timed(what: str, work: Callable[[Library], object]) -> None:
            start, start_cpu = time.perf_counter(), time.process_time()
            filed = consult(folder, index, light, lambda library: (library.filed, work(library)))[0]
            wall, cpu = time.perf_counter() - start, time.process_time() - start_cpu
            print(f"{what:44s} {wall:8.3f} s, {cpu:8.3f} s of one core; {filed.read} files read")

        timed("first index", lambda library: library.select())
        print(f"index: {index.stat().st_size / 1e6:.1f} MB")
        timed("nothing changed", lambda library: library.select())
        wanted = Wanted(words=("red", "pickup"))
        timed("words, the first time", lambda library: search(library, wanted, 20))
        timed("words", lambda library: search(library, wanted, 20))
        fact = Wanted(facts=("worst-speed=50 mph..60 mph",), closed=True)
        timed("a fact, the first time", lambda library: search(library, fact, 20))
        timed("a fact", lambda library: search(library, fact, 20))
        first.write_text(first.read_text(encoding="utf-8") + "# changed\n", encoding="utf-8")
        timed("one file changed", lambda library: search(library, wanted, 20))
        session = open_case(first, rulebook)
        timed("similar, the first time", lambda library: similar(library, session, 3))
        timed("similar", lambda library: similar(library, session, 3))
        timed("figures", figures)


if __name__ == "__main__":
    main()
