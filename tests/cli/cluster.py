"""A scheduler and workers of dask as processes of their own, and what their workers do in tests: as the program does, but for one house."""

import contextlib
import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

from permitgen.package.shelf_sent import work_on_parcel
from tests.cli.in_process import ROOT

DOOMED = "b/project.yaml"
MARK = "PERMITGEN_TEST_MARK"


@contextlib.contextmanager
def cluster(folder, workers, **environment):
    """Start a scheduler and some workers in ``folder``, which the test takes away; give the scheduler's address."""
    whole = {**os.environ, "PYTHONPATH": str(ROOT), "DASK_TEMPORARY_DIRECTORY": str(folder), **environment}
    dask = [sys.executable, "-m", "dask"]
    with contextlib.ExitStack() as stack:
        found = folder / "scheduler.json"
        quiet = ["--no-dashboard"]
        command = [*dask, "scheduler", "--host", "127.0.0.1", "--port", "0", "--scheduler-file", str(found), *quiet]
        stack.enter_context(_process(command, whole, folder / "scheduler.log"))
        for number in range(workers):
            command = [*dask, "worker", "--scheduler-file", str(found), "--nthreads", "1", "--no-nanny", *quiet]
            stack.enter_context(_process(command, whole, folder / f"worker{number}.log"))
        yield _address(found)


def _address(found):
    until = time.monotonic() + 60
    while time.monotonic() < until:
        with contextlib.suppress(FileNotFoundError, ValueError):
            return json.loads(found.read_text("utf-8"))["address"]
        time.sleep(0.1)
    raise AssertionError(found.with_name("scheduler.log").read_text("utf-8"))


@contextlib.contextmanager
def _process(command, environment, log):
    with log.open("wb") as stream:
        process = subprocess.Popen(command, env=environment, stdout=stream, stderr=stream, start_new_session=True)
        try:
            yield process
        finally:
            if process.poll() is None:
                process.kill()
            process.wait()


def killed_once(program, parcel):
    """Kill the worker at its first try of the doomed house: the project's files lie there, and nothing has come back."""
    mark = Path(os.environ[MARK])
    if parcel.job.file == DOOMED and not mark.exists():
        mark.touch()
        os.kill(os.getpid(), signal.SIGKILL)
    return work_on_parcel(program, parcel)


def killed_always(program, parcel):
    if parcel.job.file == DOOMED:
        os.kill(os.getpid(), signal.SIGKILL)
    return work_on_parcel(program, parcel)
