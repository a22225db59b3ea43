"""Progress and summary of a build. The only place that knows rich, and only where there is a terminal."""

from __future__ import annotations

import sys
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from collections.abc import Mapping

    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.evaluation.gates import Standing
    from permitgen.package.build import Built
    from permitgen.package.documents import Document
    from permitgen.package.opened_project import OpenedProject


class BuildReport:
    """Shows what is being drawn on a terminal, and a summary at the end."""

    def __init__(self, documents: int) -> None:
        self._documents = documents
        self._progress: Any = None
        self._task: Any = None

    def __enter__(self) -> BuildReport:
        """Start the progress line where standard error is a terminal."""
        if sys.stderr.isatty():
            from rich.console import Console
            from rich.progress import BarColumn, Progress, TextColumn

            self._progress = Progress(
                TextColumn("{task.description}"),
                BarColumn(),
                TextColumn("{task.completed}/{task.total}"),
                console=Console(stderr=True),
                transient=True,
            )
            self._progress.start()
            self._task = self._progress.add_task("Evaluating", total=self._documents + 1)
        return self

    def drawing(self, document: Document) -> None:
        """Say which document comes next."""
        if self._progress is not None:
            self._progress.update(self._task, advance=1, description=document.title)

    def doing(self, what: str) -> None:
        """Say what takes long within the document that is being drawn."""
        if self._progress is not None:
            self._progress.update(self._task, description=what)

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        """Take the progress line away."""
        if self._progress is not None:
            self._progress.stop()

    def summary(self, opened: OpenedProject, standing: Standing, folder: Path, built: Built) -> None:
        """Print what was found, how the gates stand and what was written; on standard error, what the user has to see to."""
        from permitgen.package.asked_job import asked_of
        from permitgen.package.submission_job import submission_folder
        from permitgen.views.asked import asked_lines
        from permitgen.views.vocabulary import verdict_word

        counts = [(verdict_word(str(verdict)), count) for verdict, count in opened.evaluation.counts.items()]
        if built.is_unchanged:
            click.echo("; ".join(f"{count} {verdict}" for verdict, count in counts))
            click.echo(f"nothing changed: {len(built.files)} files in {folder} are as they were built, and nothing was written")
        elif sys.stdout.isatty():
            _table(counts, folder, built.files)
        else:
            click.echo("; ".join(f"{count} {verdict}" for verdict, count in counts))
            click.echo(f"{len(built.files)} files in {folder}")
        if built.submission:
            click.echo(f"{len(built.submission)} files to hand in, in {submission_folder(folder)}")
        _stands(opened.evaluation, standing)
        for line in asked_lines(asked_of(opened)):
            click.echo(line)
        for name, new_name in built.written.kept:
            click.echo(f"{name} was not as it was built and is kept as {new_name}")
        if built.written.left:
            click.echo(f"{built.written.left} could not be removed; your files in it are safe, and the next build tries again", err=True)
        for document, why in built.missing:
            click.echo(f"could not be made: {document}: {why}", err=True)


def _stands(evaluation: Evaluation, standing: Standing) -> None:
    """Print what is violated after it was handed in, and how the gates stand."""
    from permitgen.views.gates import gate_text

    behind = [finding for finding in evaluation.approval if finding.is_open]
    for said, findings in (("behind the stamp", behind), ("as built, tested or inspected", standing.violated)):
        for finding in findings:
            click.echo(f"violated {said}: {finding.judgement.message}")
    if standing.accepted_on:
        click.echo(f"accepted {standing.accepted_on}")
    click.echo(" · ".join(gate_text(gate) for gate in standing.gates))


def _table(counts: list[tuple[str, int]], folder: Path, files: Mapping[str, bytes]) -> None:
    from rich.console import Console
    from rich.table import Table

    console = Console()
    verdicts = Table(title="Findings", title_justify="left")
    verdicts.add_column("verdict")
    verdicts.add_column("count", justify="right")
    for verdict, count in counts:
        verdicts.add_row(verdict, str(count))
    written = Table(title=f"Package in {folder}", title_justify="left")
    written.add_column("file")
    written.add_column("size", justify="right")
    for name in sorted(files):
        if name.count("/") == 0:
            written.add_row(name, f"{len(files[name]) / 1000:.1f} kB")
    for head in sorted({name.split("/")[0] for name in files if "/" in name}):
        inside = [len(content) for name, content in files.items() if name.startswith(f"{head}/")]
        written.add_row(f"{head}/ ({len(inside)} files)", f"{sum(inside) / 1000:.1f} kB")
    console.print(verdicts)
    console.print(written)
