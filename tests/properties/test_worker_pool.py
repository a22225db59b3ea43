"""The pool's own promise: a process that is killed costs one job, nothing waits for ever, and whoever stops listening stops all.

Signals and exit codes: POSIX. No expected value comes from the program.
"""

import os
import signal
import time
from pathlib import Path

import pytest

from permitgen.package.worker_pool import Died, WorkerPool, usable_processors


def doubled(job):
    """Double the number; a negative one kills its process each time, a name of a file kills it unless the file is there."""
    if isinstance(job, str):
        if not Path(job).exists():
            Path(job).touch()
            os.kill(os.getpid(), signal.SIGKILL)
        return "second time"
    if job < 0:
        os.kill(os.getpid(), signal.SIGKILL)
    return 2 * job


def ended(job):
    os._exit(job)


def slow(job):
    """Write a file while it works and take it away however it ends."""
    mark = Path(job)
    mark.touch()
    try:
        time.sleep(60)
    finally:
        mark.unlink()


@pytest.mark.parametrize("workers", [1, 2])
def test_each_job_has_its_answer(workers):
    assert dict(WorkerPool(doubled, workers).answers(range(7))) == {number: 2 * number for number in range(7)}


def test_no_job_is_no_process():
    assert list(WorkerPool(doubled, 4).answers([])) == []


@pytest.mark.parametrize("workers", [1, 2])
def test_a_killed_process_costs_one_job(workers, tmp_path):
    """Killed once it is done at the second try; killed twice it is told, after all others."""
    once = str(tmp_path / "once")
    found = list(WorkerPool(doubled, workers).answers([1, -1, once, 2, 3, 4]))
    answers = dict(found)
    assert {job: answers[job] for job in (1, 2, 3, 4)} == {1: 2, 2: 4, 3: 6, 4: 8}
    assert answers[once] == "second time"
    assert answers[-1] == Died("its process was ended by the signal SIGKILL, again when it was tried alone")
    assert {job for job, _answer in found[-2:]} == {-1, once}


def test_a_process_that_ends_by_itself_is_told_with_its_status():
    assert list(WorkerPool(ended, 2).answers([3])) == [(3, Died("its process ended with the status 3, again when it was tried alone"))]


def test_who_stops_listening_stops_the_processes_and_they_clear_away(tmp_path):
    marks = [str(tmp_path / name) for name in "ab"]
    answers = WorkerPool(slow_or_quick, 3).answers([*marks, 1])
    assert next(answers) == (1, 2)
    while not all(Path(mark).exists() for mark in marks):
        time.sleep(0.01)
    answers.close()
    assert not list(tmp_path.iterdir())


def slow_or_quick(job):
    return slow(job) if isinstance(job, str) else doubled(job)


def test_processors_are_counted():
    assert 1 <= usable_processors() <= os.cpu_count()
