"""How a command ends before it is done: a message on standard error and the exit status."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import NoReturn

import click

from permitgen.cli.exit_status import BAD_INPUT, CANNOT_WRITE
from permitgen.reading.problems import ProblemsError


def end(message: str, status: int) -> NoReturn:
    """Print a message on standard error and exit."""
    click.echo(message, err=True)
    sys.exit(status)


def refuse(error: ProblemsError) -> NoReturn:
    """Print one message per problem of a file and exit with status 2."""
    end(str(error), BAD_INPUT)


def end_unwritten(error: OSError, path: Path) -> NoReturn:
    """Print which file cannot be written, ``path`` where the error names none, and why; exit with status 3."""
    end(f"{error.filename or path}: {error.strerror or error}", CANNOT_WRITE)
