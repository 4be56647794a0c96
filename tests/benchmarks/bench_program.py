"""Process time of the program as a user meets it: `python tests/benchmarks/bench_program.py`.

Prints milliseconds, median and worst of several runs. The first five figures are of whole
processes, start of Python included; the others of one process that goes through an interview.
It asserts nothing. Aims: --help under 150 ms, first question under 500 ms, next under 50 ms.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from collections.abc import Callable, Sequence
from pathlib import Path
from statistics import median
from time import process_time

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from advisor.cases import CaseSession, new_case, read_case
from advisor.interview import Prompt, Tone, run_interview
from advisor.report import assess, assessment_text
from advisor.rulebook import Rulebook, load, shipped
from tests.benchmarks.comparing import keep, words

ROOT = Path(__file__).resolve().parents[2]
DEMO = ROOT / "cases" / "pickup-shake.yaml"
REPEATS = 7


def process_milliseconds(words: Sequence[str]) -> float:
    """User and system time of one run of the program, its input being empty."""
    child = subprocess.Popen(
        [sys.executable, "-m", "advisor", *words],
        cwd=ROOT,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    _, status, usage = os.wait4(child.pid, 0)
    child.returncode = os.waitstatus_to_exitcode(status)
    return 1000.0 * (usage.ru_utime + usage.ru_stime)


def first_question_milliseconds(folder: Path) -> float:
    """A new case, until the first prompt; the end of the input then ends the program."""
    path = folder / "first.yaml"
    path.unlink(missing_ok=True)
    return process_milliseconds(["ask", "--plain", str(path)])


class Typist:
    """A port that answers as a demo case did, and takes the time from each line to the next."""

    columns = 100

    def __init__(self, answers: dict[str, str], questions: dict[str, str]) -> None:
        self._answers = answers
        self._id_of = {ask: question for question, ask in questions.items()}
        self._typed_at: float | None = None
        self.milliseconds: list[float] = []

    def ask(self, prompt: Prompt) -> str:
        if self._typed_at is not None:
            self.milliseconds.append(1000.0 * (process_time() - self._typed_at))
        question = self._id_of.get(prompt.text.split("\n")[0])
        line = "" if question is None else self._answers.get(question, "dont-know")
        self._typed_at = process_time()
        return line

    def tell(self, text: str, tone: Tone = Tone.PLAIN) -> None:
        pass


def next_questions(rulebook: Rulebook, folder: Path) -> list[float]:
    """Milliseconds from an answer to the next prompt, the case written to disk in between."""
    asks = {question: model.ask for question, model in rulebook.questions.items()}
    typist = Typist(read_case(DEMO).latest(), asks)
    path = folder / "interview.yaml"
    path.unlink(missing_ok=True)
    new_case(path, rulebook, vehicle="A pickup", complaint="It shakes")
    run_interview(rulebook, path, port=typist, role="technician", render=rendered)
    return typist.milliseconds


def rendered(session: CaseSession) -> str:
    return assessment_text(assess(session.case, session.rulebook, session.diagnosis))


def load_milliseconds() -> float:
    """Reading and compiling the shipped rulebook."""
    start = process_time()
    load(shipped())
    return 1000.0 * (process_time() - start)


def show(name: str, milliseconds: Sequence[float]) -> dict[str, float]:
    """Print one line of the table, and give what stands in it."""
    figures = {"median": median(milliseconds), "worst": max(milliseconds)}
    cells = "".join(f"{figure:>9.1f}" for figure in figures.values())
    print(f"{name:<34}{cells}{len(milliseconds):>6}", flush=True)
    return figures


def main() -> None:
    """Measure and print the table."""
    options = words(__doc__).parse_args()
    print(f"{'process time in ms':<34}{'median':>9}{'worst':>9}{'runs':>6}")
    kept: dict[str, dict[str, float]] = {}
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        measures: dict[str, Callable[[], list[float]]] = {
            "--help": lambda: [process_milliseconds(["--help"])],
            "first question": lambda: [first_question_milliseconds(folder)],
            "rank": lambda: [process_milliseconds(["rank", str(DEMO)])],
            "why": lambda: [process_milliseconds(["why", str(DEMO)])],
            "check": lambda: [process_milliseconds(["check"])],
            "load the rulebook": lambda: [load_milliseconds()],
            "next question": lambda: next_questions(load(shipped()), folder),
        }
        for label, measure in measures.items():
            kept[label] = show(label, [one for _ in range(REPEATS) for one in measure()])
    keep(options.json, kept)


if __name__ == "__main__":
    main()
