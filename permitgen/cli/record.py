"""``permitgen record``: merges field results into the project file."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from permitgen.cli.exit_status import BAD_INPUT, CANNOT_WRITE, DONE
from permitgen.cli.opening import PROJECT


@click.command(
    help="""Merge the field results in RESULTS into the section built: of PROJECT.

Comments and order of the file are kept. Merging the same results twice changes nothing; where two people say different
things, both are kept. Build the project again to have them in the record.
"""
)
@PROJECT
@click.argument("results", type=click.Path(path_type=Path))
def record(project: Path, results: Path) -> None:
    from permitgen.project.built_section import NotInstalledError
    from permitgen.project.field_results_merge import merge_field_results
    from permitgen.reading.problems import ProblemsError

    try:
        report = merge_field_results(project, results)
    except ProblemsError as error:
        for problem in error.problems:
            click.echo(str(problem), err=True)
        sys.exit(BAD_INPUT)
    except (OSError, NotInstalledError) as error:
        click.echo(str(error), err=True)
        sys.exit(CANNOT_WRITE)
    for notice in report.notices:
        click.echo(notice)
    for departure in report.departures:
        click.echo(f"departure: {departure}")
    changed = f"{report.added} added, {len(report.photos)} photos" if report.is_changed else "nothing new"
    click.echo(f"{changed}; {report.already_there} were there already")
    sys.exit(DONE)
