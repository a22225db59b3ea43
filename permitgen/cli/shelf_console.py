"""Progress and report of a run over a shelf; rich only where there is a terminal."""

from __future__ import annotations

import sys
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.views.shelf import Shelf, ShelfRow

_OF_THE_USER = ("bad input", "not written", "fault of the program", "a document is missing")
"""Outcomes whose messages go to standard error: what somebody has to see to."""


class ShelfProgress:
    """Shows on a terminal how many projects are done, which was the last, and how long the others will take."""

    def __init__(self, projects: int) -> None:
        self._projects = projects
        self._progress: Any = None
        self._task: Any = None

    def __enter__(self) -> ShelfProgress:
        """Start the progress line where standard error is a terminal."""
        if sys.stderr.isatty() and self._projects:
            from rich.console import Console
            from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

            columns = (TextColumn("{task.description}", markup=False), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
            self._progress = Progress(*columns, console=Console(stderr=True), transient=True, speed_estimate_period=120)
            self._progress.start()
            self._task = self._progress.add_task("Starting", total=self._projects)
        return self

    def done(self, row: ShelfRow) -> None:
        """Count a project."""
        if self._progress is not None:
            self._progress.update(self._task, advance=1, description=f"{row.file}: {row.outcome}")

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        """Take the progress line away."""
        if self._progress is not None:
            self._progress.stop()


def report_shelf(shelf: Shelf, passed_over: int, paths: Sequence[Path]) -> None:
    """Print a line for each project in the order of their paths, the totals, and where the summary is; on standard error what is wrong."""
    from permitgen.views.shelf import row_text, totals_text

    for row in shelf.rows:
        click.echo(row_text(row))
        if row.outcome in _OF_THE_USER:
            for message in row.messages:
                click.echo(message if message.startswith(row.file) else f"{row.file}: {message}", err=True)
    if shelf.note:
        click.echo(shelf.note)
    click.echo(totals_text(shelf))
    if passed_over:
        click.echo(f"{passed_over} of them passed over, nothing of theirs has changed")
    click.echo(f"summary: {', '.join(str(path) for path in paths)}")
