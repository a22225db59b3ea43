"""``permitgen record``: takes field results into the folder ``field/`` beside the project file."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from permitgen.cli.ending import end_unwritten, refuse
from permitgen.cli.exit_status import DONE
from permitgen.cli.opening import PROJECT


@click.command(
    help="""Take the results of the checklist or the survey in RESULTS into the folder field/ beside the file of PROJECT, as one new file.

The project file itself is not changed. Taking in the same results twice changes nothing; where two people say different
things, both are kept. Build the project again to have them in the record; answers to the survey become text of the project file
with "permitgen survey PROJECT --answers".
"""
)
@PROJECT
@click.argument("results", type=click.Path(path_type=Path))
def record(project: Path, results: Path) -> None:
    from datetime import UTC, datetime

    from permitgen.package.field_job import take_in_results
    from permitgen.reading.problems import ProblemsError

    try:
        taken = take_in_results(project, results, datetime.now(UTC).date())
    except ProblemsError as error:
        refuse(error)
    except OSError as error:
        end_unwritten(error, project)
    for notice in taken.notices:
        click.echo(notice)
    for departure in taken.departures:
        click.echo(f"departure: {departure}")
    if taken.file:
        click.echo(f"written: {taken.file}")
    changed = f"{taken.added} added, {len(taken.photos)} photos" if taken.is_changed else "nothing new"
    click.echo(f"{changed}; {taken.already_there} were there already")
    sys.exit(DONE)
