"""``permitgen survey``: the open questions for the person at the site, and what the answers change in the project file."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from permitgen.cli.ending import end_unwritten, refuse
from permitgen.cli.exit_status import DONE
from permitgen.cli.opening import PROJECT, open_or_exit
from permitgen.cli.writing import write_or_exit

if TYPE_CHECKING:
    from permitgen.package.opened_project import OpenedProject
    from permitgen.package.survey_job import Taken


@click.command(
    help="""Write what only somebody at the site of PROJECT can answer, as a page for the phone and on paper.

The questions are those of check at nameplates that hang there and at the site, by where one stands, with drawings of what to measure.
"Could not see it" is an answer. The page works offline; what it sends home is taken in with "permitgen record PROJECT RESULTS".

Then --answers prints what the answers change in the project file, and --write writes it: a figure with who measured it and when,
anything else with the same behind it. Nothing else of the file changes. What no single line of the file holds is listed, and asked
until somebody wrote what follows from it. An answer that cannot be put in is one message, exit status 2, and nothing is written.
"""
)
@PROJECT
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    default=None,
    metavar="DIR",
    help="Folder of survey.html and survey.pdf. Default: survey beside the project file.",
)
@click.option("--answers", is_flag=True, help="Print instead what the answers in field/ change in the project file.")
@click.option("--write", "writes", is_flag=True, help="Write what --answers prints into the project file.")
def survey(
    project: Path,
    out: Path | None,
    answers: bool,  # noqa: FBT001 - the options' values
    writes: bool,  # noqa: FBT001
) -> None:
    from permitgen.reading.problems import ProblemsError

    if out is not None and (answers or writes):
        raise click.UsageError("--out is the folder of the questions; --answers and --write change the project file")
    opened = open_or_exit(project)
    try:
        if answers or writes:
            _take(project, opened, writes=writes)
        else:
            _ask(opened, opened.loaded.folder / "survey" if out is None else out)
    except ProblemsError as error:
        refuse(error)
    sys.exit(DONE)


def _ask(opened: OpenedProject, folder: Path) -> None:
    from permitgen.package.survey_job import survey_files, survey_of_project

    view = survey_of_project(opened)
    if not view.entries:
        click.echo("nothing is open that somebody at the site could answer; nothing was written")
        return
    files = survey_files(opened)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        end_unwritten(error, folder)
    for name, content in files.items():
        write_or_exit(folder / name, content)
        click.echo(f"written: {(folder / name).as_posix()}")
    for section in view.sections:
        click.echo(f"{section.title}: {len(section.lines)}")
    left = f"; {view.left_to_office} more are of what is not there yet, or of papers" if view.left_to_office else ""
    click.echo(f"{view.entries} questions{left}")


def _take(project: Path, opened: OpenedProject, *, writes: bool) -> None:
    from permitgen.package.survey_job import answers_taken, write_answers

    taken = answers_taken(opened)
    click.echo(taken.difference, nl=False)
    _tell(taken)
    if not writes or not taken.written:
        click.echo(f"{taken.written} keys answered" + ("; --write writes them" if taken.written else "; nothing to write"))
        return
    try:
        write_answers(project, taken)
    except OSError as error:
        end_unwritten(error, project)
    click.echo(f"written: {taken.file}, {taken.written} keys")


def _tell(taken: Taken) -> None:
    for sentence in taken.by_hand:
        click.echo(f"to write by hand: {sentence}")
    for sentence in taken.unseen:
        click.echo(f"not seen: {sentence}")
    for sentence in taken.photos:
        click.echo(f"photo: {sentence}")
