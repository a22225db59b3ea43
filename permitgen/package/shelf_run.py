"""All projects of a shelf: passed over where nothing changed, else worked on by several processes, and told in one summary."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path, PurePath
from typing import Protocol

from permitgen.package.shelf_kept import KeptRow, ShelfTask, kept_row, note_kept, read_kept, write_kept
from permitgen.package.worker_pool import Died, WorkerPool
from permitgen.project.whole_file import write_file_whole
from permitgen.views.shelf import Shelf, ShelfRow

Worked = tuple[ShelfRow, KeptRow | None]
"""The row of a project, and what is to be kept of it."""
PRELOAD = ("permitgen.package.shelf_kept", "permitgen.package.standing", "permitgen.documents.plan_set")


class Pool(Protocol):
    """Works projects off."""

    def answers(self, jobs: Sequence[ShelfTask], /) -> Iterator[tuple[ShelfTask, Worked | Died]]:
        """Yield each task with what came of it, as they come."""
        ...


def local_pool(work: Callable[[ShelfTask], Worked], workers: int) -> Pool:
    """Return a pool of processes of this machine; ``work`` is a function of a module."""
    return WorkerPool(work, workers, PRELOAD)


class ShelfRun:
    """A run over a shelf. What is finished is in the journal at once: a run that is stopped is taken up by the next."""

    def __init__(self, tasks: Sequence[ShelfTask], out: Path, pool: Pool) -> None:
        self._tasks = tasks
        self._out = out
        self._pool = pool
        self._kept = read_kept(out)

    def passed_over(self) -> Iterator[tuple[ShelfTask, ShelfRow | None]]:
        """Yield each task with its row where nothing that the row rests on has changed, else with None."""
        for task in self._tasks:
            yield task, kept_row(self._kept, task)

    def worked_off(self, tasks: Sequence[ShelfTask]) -> Iterator[ShelfRow]:
        """Yield the row of each task as it is done, the largest project file first: a long one at the end would run alone.

        Raises:
            OSError: the journal cannot be written.
        """
        for task, answer in self._pool.answers(sorted(tasks, key=_largest_first)):
            if isinstance(answer, Died):
                said = f"{answer.how}; the others were done without it"
                yield ShelfRow(task.job.file, "fault of the program", messages=(said,))
                continue
            row, kept = answer
            if kept is not None:
                self._kept[row.file, kept.asked] = kept
                note_kept(self._out, kept)
            yield row

    def write(self, shelf: Shelf) -> tuple[Path, ...]:
        """Write the summary in its three forms, and the journal anew; return the paths of the summary.

        Raises:
            OSError: a file cannot be written; the older one is as it was.
        """
        from permitgen.documents.shelf_files import shelf_files

        paths = []
        for name, content in shelf_files(shelf, _way_back(self._out, self._tasks)).items():
            write_file_whole(self._out / name, content)
            paths.append(self._out / name)
        if self._tasks:
            write_kept(self._out, self._kept, self._tasks[0].program, [task.job.file for task in self._tasks])
        return tuple(paths)


def _largest_first(task: ShelfTask) -> tuple[int, str]:
    try:
        size = (task.job.shelf / task.job.file).stat().st_size
    except OSError:
        size = 0
    return -size, task.job.file


def _way_back(out: Path, tasks: Sequence[ShelfTask]) -> str:
    """Return the way from the summary to the shelf, for links: relative, so that both can be moved together."""
    if not tasks:
        return ""
    return f"{PurePath(os.path.relpath(tasks[0].job.shelf, out)).as_posix()}/"
