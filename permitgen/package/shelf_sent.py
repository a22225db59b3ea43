"""A project that another machine works on: what is done there, and how what it returns is written here."""

from __future__ import annotations

import contextlib
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from threading import Lock
from typing import TYPE_CHECKING

from permitgen.package.build import default_folder, write_as_built
from permitgen.package.folder import CannotWriteError, UnusableFolderError
from permitgen.package.program_digest import program_digest
from permitgen.package.shelf_job import ShelfResult, not_done, work_on
from permitgen.package.shelf_kept import row_to_keep
from permitgen.package.shelf_parcel import Parcel, unpacked
from permitgen.package.submission_job import submission_folder

if TYPE_CHECKING:
    from permitgen.package.shelf_kept import ShelfTask
    from permitgen.package.shelf_run import Worked

_ONE_AT_A_TIME = Lock()
"""Work is done in the folder of the shelf, and a process stands in one folder: threads of a worker take turns."""


class OtherProgramError(Exception):
    """Another program than the one that asks is on this machine; the message names it."""


@dataclass(frozen=True, slots=True)
class Returned:
    """What came of a project on another machine: its row, and the files of its package and of its submission, by name."""

    result: ShelfResult
    package: Mapping[str, bytes] = field(default_factory=dict)
    submission: Mapping[str, bytes] = field(default_factory=dict)


def work_on_parcel(program: str, parcel: Parcel) -> Returned:
    """Work on a project that was sent, in a folder of its own that is taken away; ``program`` is the digest of the one that asks.

    Raises:
        OtherProgramError: this one is another.
        OSError: the disk refuses.
    """
    if program_digest() != program:
        raise OtherProgramError(_this_worker())
    with _ONE_AT_A_TIME, tempfile.TemporaryDirectory(prefix="permitgen-", dir=_scratch()) as name:
        job = unpacked(parcel, Path(name))
        result = work_on(job)
        if not result.row.package:
            return Returned(result)
        package = job.shelf / result.row.package
        return Returned(result, _files_of(package), _files_of(submission_folder(package)))


def taken_in(task: ShelfTask, before: str, returned: Returned) -> Worked:
    """Write what came back where this machine would have written it; return the row, and what is to be kept of it.

    ``before`` is the digest of the project's files before they were sent.
    """
    row = returned.result.row
    try:
        if returned.package:
            with contextlib.chdir(task.job.shelf):
                write_as_built(default_folder(Path(task.job.file)), returned.package, returned.submission, task.folder)
    except (UnusableFolderError, CannotWriteError) as error:
        return not_done(task.job, error), None
    return row, row_to_keep(task, before, returned.result)


def _files_of(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()}


def _scratch() -> str | None:
    """Return the worker's own folder, which the cluster clears away when a worker was killed; None outside of one."""
    from distributed import get_worker

    try:
        return str(get_worker().local_directory)
    except ValueError:
        return None


def _this_worker() -> str:
    from distributed import get_worker

    return str(get_worker().address)
