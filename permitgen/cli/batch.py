"""``permitgen batch``: checks or builds all projects below a folder, or says what another edition or ordinance changes for them."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from permitgen.cli.ending import end, end_unwritten, refuse
from permitgen.cli.exit_status import BAD_INPUT
from permitgen.cli.opening import project_files_or_exit
from permitgen.cli.shelf_console import ShelfProgress, report_shelf

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.package.shelf_job import Ordinance, ShelfJob
    from permitgen.package.shelf_kept import KeptRow, ShelfTask
    from permitgen.views.shelf import Shelf, ShelfRow

SUMMARY_FOLDER = "shelf_summary"


@click.command(
    help="""Write the package of every project below FOLDER: of every project.yaml, each into the folder package beside it.

With --check no documents are written, and the findings are counted. With --edition or --amendments each project is compared with itself
under its own edition and ordinances, and no documents are written. The summary (shelf.csv, shelf.json, shelf.html) goes into
FOLDER/shelf_summary; its order is that of the paths.

A project that cannot be read is reported and passed over. What was done once is not done again while nothing changed: neither a file of
the project, nor its package, nor this program. A run that was stopped is taken up by the same command. Where a process is killed, its
project is tried again alone.

The exit status is that of the project which is worst off, in this order: 4 a fault of the program, 3 not written, 2 bad input,
5 a document could not be made, 1 violations (where compared: new ones), 0.
"""
)
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--check", is_flag=True, help="Judge only; write no documents.")
@click.option("--edition", default="", metavar="YEAR", help="Say what this edition changes for each project; write no documents.")
@click.option(
    "--amendments",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Say what this ordinance changes for each project beside those it has; write no documents.",
)
@click.option("--out", type=click.Path(path_type=Path), metavar="DIR", help="Folder of the summary. Default: shelf_summary in FOLDER.")
@click.option("--workers", type=click.IntRange(min=1), metavar="N", help="How many projects at once. Default: one for each processor.")
def batch(
    folder: Path,
    check: bool,  # noqa: FBT001 - the option's value
    edition: str,
    amendments: Path | None,
    out: Path | None,
    workers: int | None,
) -> None:
    from permitgen.package.shelf_job import ShelfJob
    from permitgen.package.worker_pool import usable_processors

    _require_edition(edition)
    ordinance = _ordinance(amendments)
    compares = bool(edition) or ordinance is not None
    files = project_files_or_exit(folder)
    jobs = [ShelfJob(folder.resolve(), file, not (check or compares), edition, ordinance) for file in files]
    shelf = _run(jobs, out or folder / SUMMARY_FOLDER, workers or usable_processors(), _asked(edition, amendments, check=check))
    sys.exit(shelf.status)


def _asked(edition: str, amendments: Path | None, *, check: bool) -> str:
    against = " and ".join(part for part in (f"NEC {edition}" if edition else "", amendments.name if amendments else "") if part)
    if against:
        return f"Each project under its own edition and ordinances, compared with {against}"
    return "Findings of each project" if check else "The package of each project"


def _require_edition(edition: str) -> None:
    from permitgen.code.edition import Edition
    from permitgen.code.errors import UnknownEditionError

    try:
        if edition:
            Edition.of(edition)
    except UnknownEditionError as error:
        end(f"--edition: {error}", BAD_INPUT)


def _ordinance(path: Path | None) -> Ordinance | None:
    """Read the ordinance once, so that what is wrong with it is one message and not one for each project."""
    from permitgen.code.amendment import LARGEST_BYTES, read_amendment
    from permitgen.package.shelf_job import Ordinance
    from permitgen.reading.problems import ProblemsError
    from permitgen.reading.reader import file_content

    if path is None:
        return None
    try:
        content = file_content(path, LARGEST_BYTES)
        read_amendment(content, path.as_posix())
    except ProblemsError as error:
        refuse(error)
    return Ordinance(path.as_posix(), content)


def _run(jobs: Sequence[ShelfJob], out: Path, workers: int, asked: str) -> Shelf:
    from permitgen.package.program_digest import program_digest
    from permitgen.package.shelf_kept import ShelfTask
    from permitgen.package.shelf_run import ShelfRun
    from permitgen.views.shelf import NOT_REVISITED, shelf_of

    tasks = [ShelfTask(job, program_digest(), out.resolve()) for job in jobs]
    run = ShelfRun(tasks, out, work, workers)
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
        shelf = shelf_of(asked, done.values(), NOT_REVISITED if jobs[0].compares else "")
        paths = run.write(shelf)
    except KeyboardInterrupt:
        click.echo(f"{len(done)} of {len(jobs)} projects are done; the same command goes on with the others", err=True)
        raise
    except OSError as error:
        end_unwritten(error, out)
    report_shelf(shelf, passed, paths)
    return shelf


def work(task: ShelfTask) -> tuple[ShelfRow, KeptRow | None]:
    """Work on one project, in a process of its own: a fault of the program is the row of this project."""
    from permitgen.cli.main import without_fault
    from permitgen.package.shelf_kept import work_and_keep
    from permitgen.views.shelf import ShelfRow

    command = "build" if task.job.documents else "check"
    worked, fault = without_fault(lambda: work_and_keep(task), [command, task.job.file])
    return worked if worked is not None else (ShelfRow(task.job.file, "fault of the program", messages=(fault,)), None)
