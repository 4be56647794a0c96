"""One process, several, and a cluster: the same numbers, a clean end, and plain words."""

from __future__ import annotations

import contextlib
import json
import os
import select
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from concurrent.futures import Executor, Future
from pathlib import Path
from types import SimpleNamespace

import pytest

from advisor.cases import read_case
from advisor.cases.lines import case_data, case_line
from advisor.learning import (
    LearningError,
    Source,
    Terms,
    Workers,
    calibrate,
    calibration_data,
    replay_cases,
)
from advisor.learning.source import fingerprint, loaded_once
from advisor.learning.workers import _shared_out
from tests.learning.world import AUTHOR, write_cases

ROOT = Path(__file__).parents[2]


class Here(Executor):
    """Runs each task when it is submitted, and counts those that were not yet fetched."""

    def __init__(self) -> None:
        self.waiting = self.most = 0

    def submit(self, job, /, *words, **more):  # type: ignore[no-untyped-def]
        future = Result(self)
        future.set_result(job(*words, **more))
        self.waiting += 1
        self.most = max(self.most, self.waiting)
        return future


class Result(Future):  # type: ignore[type-arg]
    def __init__(self, here: Here) -> None:
        super().__init__()
        self.here = here

    def result(self, timeout: float | None = None) -> object:
        self.here.waiting -= 1
        return super().result(timeout)


def test_results_come_in_order_with_few_under_way() -> None:
    here = Here()
    found = list(_shared_out(contextlib.nullcontext(here), lambda n: n * n, range(50), 4))
    assert found == [n * n for n in range(50)]
    assert here.most == 4


def numbers(tmp_path: Path, workers: Workers, cases: str = "cases") -> tuple[str, str]:
    """All that replay and calibrate find, as text."""
    source, folder = Source(tmp_path / "book"), tmp_path / cases

    def progress(done: int, whole: int) -> None:
        assert 0 <= done <= whole

    replay = replay_cases(folder, source, with_walks=True, workers=workers, progress=progress)
    found = calibrate(folder, source, terms=Terms(None, 5), workers=workers, progress=progress)
    return json.dumps(replay.as_data()), json.dumps(calibration_data(found))


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with a rulebook and cases of which some are unreadable."""
    AUTHOR.load(tmp_path / "book")
    cases = write_cases(tmp_path / "cases", AUTHOR, 60, seed=3)
    for name in ("a-bad", "case-0033-bad", "z-bad"):
        (cases / f"{name}.yaml").write_text("format: 1\n", encoding="utf-8")
    return tmp_path


@pytest.mark.slow
def test_four_processes_find_the_same_bits_as_one(folder: Path) -> None:
    assert numbers(folder, Workers(4)) == numbers(folder, Workers(1))


@pytest.fixture
def lines(tmp_path: Path) -> Path:
    """A folder with a rulebook, and the same cases in a folder and as JSON lines."""
    AUTHOR.load(tmp_path / "book")
    folder = write_cases(tmp_path / "cases", AUTHOR, 60, seed=3)
    text = "".join(case_line(case_data(read_case(path))) for path in sorted(folder.iterdir()))
    (tmp_path / "cases.jsonl").write_text(text, encoding="utf-8")
    return tmp_path


def test_json_lines_give_the_same_bits_as_a_folder(lines: Path) -> None:
    assert numbers(lines, Workers(), "cases.jsonl") == numbers(lines, Workers())


@pytest.mark.slow
def test_processes_find_the_same_bits_in_json_lines(lines: Path) -> None:
    assert numbers(lines, Workers(3), "cases.jsonl") == numbers(lines, Workers())


@pytest.mark.slow
@pytest.mark.filterwarnings("default")  # those of the library are not ours to mend
def test_cluster_finds_the_same_bits_in_json_lines(lines: Path, cluster: str) -> None:
    assert numbers(lines, Workers(cluster=cluster), "cases.jsonl") == numbers(lines, Workers())


@pytest.fixture
def cluster(monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    """The address of a cluster of two processes on this computer."""
    distributed = pytest.importorskip("distributed")
    monkeypatch.setenv("PYTHONPATH", str(ROOT))
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None
    ) as running:
        yield running.scheduler_address


@pytest.mark.slow
@pytest.mark.filterwarnings("default")  # those of the library are not ours to mend
def test_cluster_finds_the_same_bits_as_one_process(folder: Path, cluster: str) -> None:
    assert numbers(folder, Workers(cluster=cluster)) == numbers(folder, Workers(1))
    rules = folder / "book" / "all.yaml"  # and with changed rules, nothing is remembered
    rules.write_text(rules.read_text().replace("usual: 0.2\n", "usual: 0.25\n"), encoding="utf-8")
    assert numbers(folder, Workers(cluster=cluster)) == numbers(folder, Workers(1))


def test_worker_with_another_rulebook_is_refused(folder: Path) -> None:
    source = Source(folder / "book")
    assert loaded_once(source, fingerprint(source.load())).meta.id == "world"
    with pytest.raises(LearningError, match="a worker has another rulebook or program here"):
        loaded_once(source, "that of another computer")


def test_missing_library_is_told_in_a_sentence(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(LearningError) as caught:
        numbers(folder, Workers(cluster="tcp://127.0.0.1:1"))
    assert str(caught.value) == (
        'a cluster needs the library dask.distributed; pip install "driveline-advisor[cluster]"'
    )


@pytest.mark.parametrize("address", ["tcp://127.0.0.1:1", "10.0.0.5", "tcp://x:port", "words"])
def test_address_where_nothing_answers_is_told_in_a_sentence(folder: Path, address: str) -> None:
    pytest.importorskip("distributed")
    with pytest.raises(LearningError) as caught:
        numbers(folder, Workers(cluster=address))
    assert str(caught.value) == (
        f'no cluster answers at "{address}"; write it like tcp://10.0.0.5:8786'
    )


def test_cluster_that_cannot_run_the_program_is_told_in_a_sentence(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As dask does when its scheduler does not know this program."""

    class Client:
        def __init__(self, *words: object, **more: object) -> None:
            self.closed = False

        def get_executor(self, **more: object) -> Executor:
            return Refusing()

        def close(self) -> None:
            self.closed = True

    class Refusing(Here):
        def submit(self, job, /, *words, **more):  # type: ignore[no-untyped-def]
            raise RuntimeError("Error during deserialization of the task graph")

    library = SimpleNamespace(Client=Client, KilledWorker=MemoryError)
    monkeypatch.setitem(sys.modules, "distributed", library)
    monkeypatch.setattr("advisor.learning.workers._knock", lambda address: None)
    with pytest.raises(LearningError, match="need the same version of it, and memory enough"):
        numbers(folder, Workers(cluster="tcp://127.0.0.1:1"))


@pytest.mark.slow
@pytest.mark.skipif(os.name != "posix", reason="needs a terminal and process groups")
@pytest.mark.parametrize(
    ("end", "number", "status"),
    [
        (os.killpg, signal.SIGINT, 130),
        (os.kill, signal.SIGTERM, 143),
        (os.kill, signal.SIGHUP, 129),
        (os.kill, signal.SIGKILL, -9),
    ],
    ids=["SIGINT to all", "SIGTERM", "SIGHUP", "SIGKILL"],
)
def test_end_of_the_first_process_ends_all(
    tmp_path: Path, end: Callable[[int, int], None], number: signal.Signals, status: int
) -> None:
    """Once the bar shows the first cases done; by Ctrl-C as a terminal does it, to all."""
    import pty

    AUTHOR.load(tmp_path / "book")
    cases = write_cases(tmp_path / "cases", AUTHOR, 2000, seed=4)
    ours, theirs = pty.openpty()
    words = ["replay", str(cases), "--rulebook", str(tmp_path / "book"), "--processes", "2"]
    process = subprocess.Popen(
        [sys.executable, "-m", "advisor", *words, "--walks"],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=theirs,
        start_new_session=True,
    )
    os.close(theirs)
    shown = b""
    while b"] 16 of 2000" not in shown:
        shown += os.read(ours, 1024)
    end(process.pid, number)
    assert process.wait(timeout=60) == status
    # A terminal ends for its reader when the last process that holds it has ended.
    with contextlib.suppress(OSError):
        while select.select([ours], [], [], 60.0)[0] and (piece := os.read(ours, 1024)):
            shown += piece
    assert select.select([ours], [], [], 0.0)[0]
    os.close(ours)
    assert process.stdout is not None
    assert process.stdout.read() == b""
    process.stdout.close()
    assert shown.rstrip().endswith(b"stopped") or number != signal.SIGINT
    assert b"Traceback" not in shown
    assert b"leaked" not in shown or number == signal.SIGKILL


@pytest.mark.slow
def test_process_that_is_killed_is_told_in_a_sentence() -> None:
    with pytest.raises(LearningError, match="a worker process was ended from outside"):
        list(Workers(processes=2).in_order(os._exit, [1, 1]))
