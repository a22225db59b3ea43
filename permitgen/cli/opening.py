"""Opens the project of a command, or finds those below a folder; what is wrong ends the command with its messages and status 2."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from permitgen.cli.ending import end, refuse
from permitgen.cli.exit_status import BAD_INPUT
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


def project_files_or_exit(folder: Path) -> tuple[str, ...]:
    """Return the project files below a folder, from there, or print that there is none and exit with status 2."""
    from permitgen.package.shelf_folder import projects_below

    try:
        files = projects_below(folder)
    except OSError as error:
        end(f"{folder}: {error.strerror}", BAD_INPUT)
    if not files:
        end(f"{folder}: no project.yaml below this folder", BAD_INPUT)
    return files
