"""A few processes that work off a list of jobs, of which one that is killed costs one job and no more.

The pools of the standard library lose every job, or wait for ever, when one of their processes is killed. Here each process has a pipe
of its own: when it ends without an answer, its job is set aside, another process takes its place, and what was set aside is tried again
alone at the end. A process whose parent has gone ends by itself.
"""

from __future__ import annotations

import gc
import multiprocessing
import os
import signal
import sys
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from multiprocessing.connection import Connection, wait
from types import FrameType
from typing import TYPE_CHECKING, Any, Generic, TypeVar

if TYPE_CHECKING:
    from multiprocessing.context import BaseContext
    from multiprocessing.process import BaseProcess

Job = TypeVar("Job")
Answer = TypeVar("Answer")
_PATIENCE_S = 10.0


@dataclass(frozen=True, slots=True)
class Died:
    """In place of an answer: every process ended that had the job. ``how`` says it in words, the last end among them."""

    how: str


@dataclass(slots=True)
class _Worker(Generic[Job]):
    """A process, our end of its pipe, and the job that it has."""

    process: BaseProcess
    pipe: Connection
    job: Job | None = None


def usable_processors() -> int:
    """Return how many processors this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


class WorkerPool(Generic[Job, Answer]):
    """Works off jobs with ``work``, a function of a module, in ``count`` processes. ``preload`` are modules that each of them needs."""

    def __init__(self, work: Callable[[Job], Answer], count: int, preload: Sequence[str] = ()) -> None:
        self._work = work
        self._count = count
        self._context = _context(preload)
        self._workers: list[_Worker[Job]] = []

    def answers(self, jobs: Sequence[Job]) -> Iterator[tuple[Job, Answer | Died]]:
        """Yield each job with its answer, as they come; handed out in the order of ``jobs``.

        Whoever stops listening, or is stopped from the keyboard, stops the processes: each leaves what it writes whole, old or new.
        """
        waiting, again = deque(jobs), deque[Job]()
        try:
            self._workers = [self._started() for _ in range(min(self._count, len(waiting)))]
            yield from self._worked_off(waiting, again)
            while again:  # alone: nothing else runs that could have taken the memory from it
                self._end_idle()
                self._workers = [self._started()]
                died = deque[Job]()
                alone = again.popleft()
                yield from self._worked_off(deque([alone]), died, is_last=True)
        finally:
            self._stop()

    def _worked_off(self, waiting: deque[Job], again: deque[Job], *, is_last: bool = False) -> Iterator[tuple[Job, Answer | Died]]:
        for worker in self._workers:
            self._hand_out(worker, waiting)
        while busy := [worker for worker in self._workers if worker.job is not None]:
            ready = wait([worker.pipe for worker in busy])
            for worker in (each for each in busy if each.pipe in ready):
                job, answer = worker.job, self._received(worker)
                if job is not None and isinstance(answer, Died) and not is_last:
                    again.append(job)
                elif job is not None:
                    yield job, Died(f"{answer.how}, again when it was tried alone") if isinstance(answer, Died) else answer
                self._hand_out(worker, waiting)

    def _received(self, worker: _Worker[Job]) -> Answer | Died:
        """Return the answer of a worker, or how it ended; another process is then in its place."""
        try:
            answer: Answer = worker.pipe.recv()
        except (EOFError, OSError):
            return Died(self._replaced(worker))
        worker.job = None
        return answer

    def _hand_out(self, worker: _Worker[Job], waiting: deque[Job]) -> None:
        """Give a worker its next job; one that cannot take it any more is found out when its answer is waited for."""
        if waiting and worker.job is None:
            worker.job = waiting.popleft()
            with suppress(OSError):
                worker.pipe.send(worker.job)

    def _replaced(self, worker: _Worker[Job]) -> str:
        """Put a new process in the place of one that ended, and say how that one did."""
        worker.pipe.close()
        worker.process.join(_PATIENCE_S)
        how = _end_in_words(worker.process.exitcode)
        fresh = self._started()
        worker.process, worker.pipe, worker.job = fresh.process, fresh.pipe, None
        return how

    def _started(self) -> _Worker[Job]:
        ours, theirs = self._context.Pipe()
        process = self._context.Process(target=_serve, args=(theirs, self._work), daemon=True)  # type: ignore[attr-defined]
        process.start()
        theirs.close()
        return _Worker(process, ours)

    def _end_idle(self) -> None:
        for worker in self._workers:
            worker.pipe.close()  # it reads the end of its jobs
            worker.process.join(_PATIENCE_S)

    def _stop(self) -> None:
        for worker in self._workers:
            worker.pipe.close()
            if worker.job is not None and worker.process.is_alive():
                worker.process.terminate()
        for worker in self._workers:
            worker.process.join(_PATIENCE_S)
            if worker.process.is_alive():
                worker.process.kill()
                worker.process.join()


def _context(preload: Sequence[str]) -> BaseContext:
    """Return how processes are started: never as a copy of this one, which may have threads."""
    if "forkserver" not in multiprocessing.get_all_start_methods():
        return multiprocessing.get_context("spawn")
    context = multiprocessing.get_context("forkserver")
    context.set_forkserver_preload(list(preload))
    return context


def _end_in_words(exit_code: int | None) -> str:
    if exit_code is not None and exit_code < 0:
        with suppress(ValueError):
            return f"its process was ended by the signal {signal.Signals(-exit_code).name}"
    return f"its process ended with the status {exit_code}"


def _serve(pipe: Connection, work: Callable[[Any], Any]) -> None:
    """Work off jobs until there are no more. A key from the keyboard goes to the parent, which ends this process by SIGTERM."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, _unwind)
    gc.freeze()  # what was imported stays; what a job leaves is looked for after it
    while True:
        try:
            job = pipe.recv()
            pipe.send(work(job))
        except (EOFError, BrokenPipeError, ConnectionResetError):
            return
        gc.collect()


def _unwind(_signal: int, _frame: FrameType | None) -> None:
    """End as from the keyboard, so that what is half written is cleared away; once."""
    signal.signal(signal.SIGTERM, signal.SIG_IGN)
    sys.exit(128 + signal.SIGTERM)
