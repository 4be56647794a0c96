"""Who does the work: this process, several on this computer, or a cluster."""

from __future__ import annotations

import importlib
import multiprocessing
import os
import signal
import socket
import threading
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import CancelledError, Executor, Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass
from typing import Any, TypeVar
from urllib.parse import urlsplit

from .errors import LearningError

A = TypeVar("A")
R = TypeVar("R")

AHEAD = 4  # chunks under way for each process, so that none waits; more would only fill memory
CLUSTER_AHEAD = 64  # the same for a cluster, whose size may change meanwhile
PATIENCE_S = 10.0  # until an address where nothing answers is given up


@dataclass(frozen=True, slots=True)
class Workers:
    """How the work is shared out: so many processes, or the cluster at an address."""

    processes: int = 1
    cluster: str | None = None

    def in_order(self, job: Callable[[A], R], tasks: Iterable[A]) -> Iterator[R]:
        """The result of each task, in the order of the tasks. Raises LearningError."""
        if self.cluster is not None:
            return _shared_out(_cluster(self.cluster), job, tasks, CLUSTER_AHEAD)
        if self.processes > 1:
            return _shared_out(_pool(self.processes), job, tasks, AHEAD * self.processes)
        return map(job, tasks)


def _shared_out(
    executor: AbstractContextManager[Executor],
    job: Callable[[A], R],
    tasks: Iterable[A],
    ahead: int,
) -> Iterator[R]:
    """Results in order, with never more than `ahead` tasks under way."""
    waiting: deque[Future[R]] = deque()
    try:
        with executor as running:
            for task in tasks:
                with _no_interrupt():
                    waiting.append(running.submit(job, task))
                if len(waiting) >= ahead:
                    yield waiting.popleft().result()
            while waiting:
                yield waiting.popleft().result()
    except BrokenProcessPool as error:
        message = "a worker process was ended from outside, perhaps for lack of memory"
        raise LearningError(f"{message}; try fewer --processes") from error
    except CancelledError as error:
        raise LearningError("the cluster gave the work up; is it still running?") from error


@contextmanager
def _pool(processes: int) -> Iterator[Executor]:
    """Processes that end with this one, whatever ends it."""
    # "spawn": a process forked off beside running threads may hang.
    context = multiprocessing.get_context("spawn")
    others = set(multiprocessing.active_children())
    executor = ProcessPoolExecutor(processes, mp_context=context, initializer=_begin_worker)
    try:
        yield executor
    except BaseException:
        for worker in set(multiprocessing.active_children()) - others:
            worker.terminate()  # nobody wants what it is at, and it writes nothing
        raise
    finally:
        executor.shutdown(wait=True, cancel_futures=True)


def _begin_worker() -> None:
    """Leave Ctrl-C to the parent, and end when the parent is gone."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)


@contextmanager
def _no_interrupt() -> Iterator[None]:
    """Hold Ctrl-C back meanwhile: a worker that begins now inherits that, and is quiet."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _knock(address: str) -> None:
    """Raise OSError or ValueError unless something listens there: a client tries on for long."""
    place = urlsplit(address)
    if place.scheme not in ("tcp", "tls") or place.hostname is None or place.port is None:
        raise ValueError(address)
    socket.create_connection((place.hostname, place.port), timeout=PATIENCE_S).close()


@contextmanager
def _cluster(address: str) -> Iterator[Executor]:
    """The cluster whose scheduler listens at an address such as tcp://10.0.0.5:8786."""
    try:
        distributed: Any = importlib.import_module("distributed")
    except ImportError as error:
        message = "a cluster needs the library dask.distributed"
        raise LearningError(f'{message}; pip install "driveline-advisor[cluster]"') from error
    try:
        _knock(address)
        client = distributed.Client(address, timeout=PATIENCE_S, set_as_default=False)
    except (OSError, ValueError) as error:
        message = f'no cluster answers at "{address}"'
        raise LearningError(f"{message}; write it like tcp://10.0.0.5:8786") from error
    executor: Executor = client.get_executor(pure=False)
    try:
        yield executor
    except (RuntimeError, ImportError, distributed.KilledWorker) as error:
        message = f'the cluster at "{address}" cannot run this program'
        hint = "its scheduler and all its workers need the same version of it, and memory enough"
        raise LearningError(f"{message}; {hint}") from error
    finally:
        executor.shutdown(wait=False)  # what is still under way there is called off
        client.close()
