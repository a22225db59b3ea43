"""``permitgen batch``: checks or builds all projects below a folder, or says what another edition, ordinance or data sheet changes."""

from __future__ import annotations

import sys
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from permitgen.cli.ending import end, end_unwritten
from permitgen.cli.exit_status import BAD_INPUT
from permitgen.cli.opening import project_files_or_exit
from permitgen.cli.shelf_console import ShelfProgress, report_shelf
from permitgen.cli.shelf_tried import tried_options

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from permitgen.cli.shelf_tried import Tried
    from permitgen.package.shelf_job import ShelfJob
    from permitgen.package.shelf_kept import KeptRow, ShelfTask
    from permitgen.package.shelf_run import Pool
    from permitgen.views.shelf import Shelf, ShelfRow

SUMMARY_FOLDER = "shelf_summary"


@click.command(
    help="""Write the package of every project below FOLDER: of every project.yaml, each into the folder package beside it.

With --check no documents are written, and the findings are counted. With --edition, --amendments or --hardware each project is compared
with itself under its own edition, ordinances and hardware, and no documents are written. The summary (shelf.csv, shelf.json, shelf.html)
goes into FOLDER/shelf_summary; its order is that of the paths.

A project that cannot be read is reported and passed over. What was done once is not done again while nothing changed: neither a file of
the project, nor its package, nor this program. A run that was stopped is taken up by the same command. Where a process is killed, its
project is tried again alone.

The exit status is that of the project which is worst off, in this order: 4 a fault of the program, 3 not written, 2 bad input,
5 a document could not be made, 1 violations (where compared: new ones), 0.
"""
)
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--check", is_flag=True, help="Judge only; write no documents.")
@tried_options
@click.option("--out", type=click.Path(path_type=Path), metavar="DIR", help="Folder of the summary. Default: shelf_summary in FOLDER.")
@click.option("--workers", type=click.IntRange(min=1), metavar="N", help="How many projects at once. Default: one for each processor.")
@click.option(
    "--cluster", metavar="ADDRESS", help="Work on other machines: the scheduler of a dask cluster, tcp://HOST:PORT (docs/shelf.md)."
)
def batch(
    folder: Path,
    check: bool,  # noqa: FBT001 - the option's value
    tried: Tried,
    out: Path | None,
    workers: int | None,
    cluster: str | None,
) -> None:
    from permitgen.package.shelf_job import ShelfJob

    if cluster is not None and workers is not None:
        raise click.UsageError("--workers are processes of this machine; a cluster has its own")
    files = project_files_or_exit(folder)
    is_built = not (check or tried.asked)
    jobs = [ShelfJob(folder.resolve(), file, is_built, tried.edition, tried.ordinance, tried.hardware) for file in files]
    asked = tried.asked or ("The package of each project" if is_built else "Findings of each project")
    with _pool(workers, cluster) as pool:
        shelf = _run(jobs, out or folder / SUMMARY_FOLDER, pool, _Asked(asked, tried.own))
    sys.exit(shelf.status)


@dataclass(frozen=True, slots=True)
class _Asked:
    """What is asked in words, and what of its own each project was permitted under where it is compared."""

    text: str
    own: tuple[str, ...]


@contextmanager
def _pool(workers: int | None, cluster: str | None) -> Iterator[Pool]:
    """Give what works projects off: processes of this machine, or the workers of a cluster."""
    from permitgen.package.shelf_run import local_pool
    from permitgen.package.worker_pool import usable_processors

    here = local_pool(work, workers or usable_processors())
    if cluster is None:
        yield here
        return
    from permitgen.package.shelf_cluster import ClusterError, ClusterPool, connected

    try:
        with connected(cluster) as client:
            yield ClusterPool(client, here)
    except ClusterError as error:
        end(f"--cluster: {error}", BAD_INPUT)


def _run(jobs: Sequence[ShelfJob], out: Path, pool: Pool, asked: _Asked) -> Shelf:
    from permitgen.package.program_digest import program_digest
    from permitgen.package.shelf_kept import ShelfTask
    from permitgen.package.shelf_run import ShelfRun
    from permitgen.views.shelf import not_revisited, shelf_of

    tasks = [ShelfTask(job, program_digest(), out.resolve()) for job in jobs]
    run = ShelfRun(tasks, out, pool)
    done: dict[str, ShelfRow] = {}
    try:
        out.mkdir(parents=True, exist_ok=True)
        left = []
        for task, row in run.passed_over():
            if row is None:
                left.append(task)
            else:
                done[row.file] = row
        passed = len(done)
        with ShelfProgress(len(left)) as progress:
            for row in run.worked_off(left):
                done[row.file] = row
                progress.done(row)
        shelf = shelf_of(asked.text, done.values(), not_revisited(*asked.own) if asked.own else "")
        paths = run.write(shelf)
    except KeyboardInterrupt:
        click.echo(_so_far(done, jobs), err=True)
        raise
    except OSError as error:
        end_unwritten(error, out)
    report_shelf(shelf, passed, paths)
    return shelf


def _so_far(done: Mapping[str, ShelfRow], jobs: Sequence[ShelfJob]) -> str:
    return f"{len(done)} of {len(jobs)} projects are done; the same command goes on with the others"


def work(task: ShelfTask) -> tuple[ShelfRow, KeptRow | None]:
    """Work on one project, in a process of its own: a fault of the program is the row of this project."""
    from permitgen.cli.main import without_fault
    from permitgen.package.shelf_kept import work_and_keep
    from permitgen.views.shelf import ShelfRow

    command = "build" if task.job.documents else "check"
    worked, fault = without_fault(lambda: work_and_keep(task), [command, task.job.file])
    return worked if worked is not None else (ShelfRow(task.job.file, "fault of the program", messages=(fault,)), None)
