"""A shelf worked off by a cluster of ``dask.distributed``: files go out with the task, rows and packages come back, and are written here.

Which worker has which project, and what becomes of one whose worker is gone, is the scheduler's business (``allowed-failures`` of its
configuration). Nothing is written but by the machine that asks, once for each project, so that a task that ran twice leaves one result.
"""

from __future__ import annotations

import logging
import warnings
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from typing import TYPE_CHECKING

from permitgen import __version__
from permitgen.package.program_digest import program_digest
from permitgen.package.shelf_kept import SETTLED
from permitgen.package.shelf_parcel import Parcel, TooLargeError, packed
from permitgen.package.shelf_sent import OtherProgramError, Returned, taken_in, work_on_parcel
from permitgen.package.worker_pool import Died

if TYPE_CHECKING:
    from distributed import Client, Future

    from permitgen.package.shelf_kept import ShelfTask
    from permitgen.package.shelf_run import Pool, Worked

_CONNECT_S = 5
_LOOK_AGAIN_S = 10
_LOOKS_WITHOUT_WORKERS = 6
_AHEAD = 3
"""Tasks for each thread of the cluster that are sent ahead, so that none waits for the next parcel."""


class ClusterError(Exception):
    """The cluster cannot be used, or no longer; the message says why, and what would do."""


@contextmanager
def connected(address: str) -> Iterator[Client]:
    """Connect with the scheduler at an address, and see that its workers are this program.

    Raises:
        ClusterError: the library is not there, no scheduler answers, no worker is there, or one is another program.
    """
    try:
        from distributed import Client
    except ImportError as error:
        raise ClusterError('needs the library distributed; install it with: pip install "permitgen[cluster]"') from error
    logging.getLogger("distributed").setLevel(logging.CRITICAL)  # what a person has to know is said in one message
    if not address.strip():
        raise ClusterError("the address of a scheduler was expected, such as tcp://HOST:8786")
    try:
        client = Client(address, timeout=_CONNECT_S)
    except (OSError, ValueError) as error:
        raise ClusterError(f"no scheduler answers at {address}; expected one as tcp://HOST:8786, started by dask scheduler") from error
    try:
        _require_same_program(client, address)
        yield client
    finally:
        client.close(timeout=_CONNECT_S)


def _require_same_program(client: Client, address: str) -> None:
    try:
        client.wait_for_workers(1, timeout=_CONNECT_S)
    except TimeoutError as error:
        raise ClusterError(f"the scheduler at {address} has no worker; start some with: dask worker {address} --nthreads 1") from error
    found = client.run(program_digest, on_error="return")
    others = sorted(worker for worker, digest in found.items() if digest != program_digest())
    if others:
        raise ClusterError(_another_program(others[0]))


def _another_program(worker: str) -> str:
    return (
        f"the worker {worker} has another permitgen, or none; every machine needs permitgen {__version__} as it is here, "
        "with the same versions of its libraries"
    )


class ClusterPool:
    """Works projects off on a cluster.

    What a worker cannot settle (bad input, a full disk, a fault of the program) and what is too large to send goes to ``here``, a pool of
    this machine, where every file is: messages are the same, and a file that was not sent makes nothing wrong. ``work`` is a function of
    a module that both sides have.
    """

    def __init__(self, client: Client, here: Pool, work: Callable[[str, Parcel], Returned] = work_on_parcel) -> None:
        self._client = client
        self._here = here
        self._work = work

    def answers(self, jobs: Sequence[ShelfTask], /) -> Iterator[tuple[ShelfTask, Worked | Died]]:
        """Yield each task with what came of it, as they come.

        Raises:
            ClusterError: scheduler or workers are gone, or a worker is another program. What came before is done.
        """
        again, died = [], []
        for task, answer in self._sent(jobs):
            if answer is None:
                again.append(task)
            elif isinstance(answer, Died):
                died.append(task)  # or another did that waited at the same worker: the scheduler holds both to be suspicious
            else:
                yield task, answer
        for task in died:
            for _task, answer in self._sent([task]):
                if answer is None:
                    again.append(task)
                else:
                    yield task, answer
        yield from self._here.answers(again)

    def _sent(self, jobs: Sequence[ShelfTask]) -> Iterator[tuple[ShelfTask, Worked | Died | None]]:
        waiting = deque(jobs)
        sent: dict[Future, tuple[ShelfTask, str]] = {}
        try:
            while waiting or sent:
                while waiting and len(sent) < self._most_sent():
                    task = waiting.popleft()
                    before = task.files_digest()
                    try:
                        sent[self._submitted(packed(task))] = task, before
                    except TooLargeError:
                        yield task, None
                for future in self._finished(list(sent)):
                    yield sent[future][0], _answer(future, *sent[future])
                    del sent[future]
        finally:
            if sent:
                self._client.cancel(list(sent), force=True)

    def _most_sent(self) -> int:
        threads: dict[str, int] = self._client.nthreads()
        return max(1, _AHEAD * sum(threads.values()))

    def _submitted(self, parcel: Parcel) -> Future:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", UserWarning)  # the library warns of large tasks; a package's photos are large
            return self._client.submit(self._work, program_digest(), parcel, pure=False)

    def _finished(self, futures: list[Future]) -> list[Future]:
        """Wait until some of the futures are done, and return those."""
        from distributed import CancelledError, wait

        if not futures:
            return []
        try:
            for _look in range(_LOOKS_WITHOUT_WORKERS):
                while True:
                    with suppress(TimeoutError):
                        wait(futures, timeout=_LOOK_AGAIN_S, return_when="FIRST_COMPLETED")
                    if done := [future for future in futures if future.done()]:
                        return done
                    if not self._client.nthreads():
                        break
        except (CancelledError, OSError) as error:
            raise ClusterError("the scheduler does not answer any more; the same command goes on with what is not done") from error
        raise ClusterError("no worker is left; start some, and the same command goes on with what is not done")


def _answer(future: Future, task: ShelfTask, before: str) -> Worked | Died | None:
    """Return what came of a task, its package written; None where it is to be done by this machine."""
    from distributed import CancelledError, KilledWorker

    error = future.exception()
    if isinstance(error, OtherProgramError):
        raise ClusterError(_another_program(str(error)))
    if isinstance(error, KilledWorker):
        return Died("every worker that had it ended, as often as the scheduler allows, again when it was tried alone")
    if future.cancelled():
        raise ClusterError("the scheduler gave a project up; the same command goes on with what is not done")
    if error is not None:
        return None
    try:
        returned: Returned = future.result()
    except CancelledError as lost:
        raise ClusterError("a result was lost; the same command goes on with what is not done") from lost
    return taken_in(task, before, returned) if returned.result.row.outcome in SETTLED else None
