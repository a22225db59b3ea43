"""``permitgen memory``: what departments asked for before, and what the comments on a project add to it."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from permitgen.cli.ending import end, end_unwritten, refuse
from permitgen.cli.exit_status import BAD_INPUT, DONE
from permitgen.cli.opening import open_or_exit


@click.command(
    help="""List what each department asked for before, how often, in which projects, and what answered it.

PLACE is a jurisdiction file, or a folder below which they are. Every project that names the file is looked through for it by check and
build.

With --take PROJECT the comments of that project's plan_review: that say keep: are put into the file of its department: printed as a
difference, and written with --write. Nothing else of the file changes.
"""
)
@click.argument("place", type=click.Path(path_type=Path), default=Path())
@click.option(
    "--take", "project", type=click.Path(path_type=Path), default=None, metavar="PROJECT", help="Print instead what a project adds."
)
@click.option("--write", "writes", is_flag=True, help="Write what --take prints into the jurisdiction file.")
def memory(place: Path, project: Path | None, writes: bool) -> None:  # noqa: FBT001 - the option's value
    from permitgen.reading.problems import ProblemsError

    if writes and project is None:
        raise click.UsageError("--write writes what --take PROJECT prints")
    try:
        if project is None:
            _list(place)
        else:
            _take(project, writes=writes)
    except ProblemsError as error:
        refuse(error)
    sys.exit(DONE)


def _list(place: Path) -> None:
    from permitgen.package.memory_job import memories_in
    from permitgen.views.asked import memory_lines

    memories = memories_in(place)
    if not memories:
        end(f"{place}: no jurisdiction file is here; its first line is format: jurisdiction 1", BAD_INPUT)
    for each in memories:
        click.echo("\n".join([each.file, *memory_lines(each.name, each.authority, each.rows)]))


def _take(project: Path, *, writes: bool) -> None:
    from permitgen.package.memory_job import demands_kept, write_demands

    kept = demands_kept(open_or_exit(project))
    click.echo(kept.difference, nl=False)
    if not kept.count or not writes:
        click.echo(f"{kept.count} to keep" + ("; --write writes it" if kept.count else "; nothing to write"))
        return
    try:
        write_demands(kept)
    except OSError as error:
        end_unwritten(error, kept.path)
    click.echo(f"written: {kept.file}, {kept.count} kept")
