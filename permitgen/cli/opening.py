"""Opens the project of a command; what is wrong with it ends the command with one message per problem and status 2."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from permitgen.cli.ending import refuse
from permitgen.reading.problems import ProblemsError

if TYPE_CHECKING:
    from permitgen.package.opened_project import OpenedProject

PROJECT = click.argument("project", type=click.Path(path_type=Path))
EDITION = click.option("--edition", default="", metavar="YEAR", help="Judge by this edition of the NEC instead of the project's own.")


def open_or_exit(project: Path, edition: str = "") -> OpenedProject:
    """Open a project, or print its problems on standard error and exit with status 2."""
    from permitgen.package.opened_project import open_project

    try:
        return open_project(project, edition=edition)
    except ProblemsError as error:
        refuse(error)
