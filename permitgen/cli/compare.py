"""``permitgen compare``: prints what changes between two files or two editions."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from permitgen.cli.ending import end
from permitgen.cli.exit_status import BAD_INPUT, DONE, VIOLATIONS
from permitgen.cli.opening import open_or_exit

if TYPE_CHECKING:
    from permitgen.package.opened_project import OpenedProject


@click.command(
    help="""Print what changes from project BEFORE to project AFTER, or for one project between two editions.

Exit status 1 when rules are violated that were not before.
"""
)
@click.argument("before", type=click.Path(path_type=Path))
@click.argument("after", type=click.Path(path_type=Path), required=False)
@click.option("--editions", nargs=2, metavar="YEAR YEAR", help="Compare one project under two editions of the NEC.")
def compare(before: Path, after: Path | None, editions: tuple[str, str] | None) -> None:
    from permitgen.documents.changes_text import changes_report, documents_report
    from permitgen.package.document_ids import documents_of
    from permitgen.views.changes import comparison_of
    from permitgen.views.document_list import document_changes

    if (after is None) == (editions is None):
        end("expected a second project, or --editions with two years", BAD_INPUT)
    years = editions or ("", "")
    first = open_or_exit(before, years[0])
    second = open_or_exit(after or before, years[1])
    if editions and second.code.last_read is not second.code:
        sys.exit(_adoption(first, second))
    names = (f"NEC {years[0]}", f"NEC {years[1]}") if editions else (str(before), str(after))
    comparison = comparison_of(first.evaluation, second.evaluation, names)
    click.echo(changes_report(comparison))
    click.echo("\n" + documents_report(document_changes(documents_of(first), documents_of(second))))
    sys.exit(VIOLATIONS if comparison.new_violations else DONE)


def _adoption(first: OpenedProject, second: OpenedProject) -> int:
    """Print what an edition changes that was not read, and return the exit status."""
    from permitgen.documents.adoption_text import adoption_report
    from permitgen.evaluation.unread_edition import sizes_as_reported
    from permitgen.views.adoption import adoption_sheet_of

    sizes = sizes_as_reported(second.loaded.system, second.code)
    sheet = adoption_sheet_of(first.evaluation, second.evaluation, sizes)
    click.echo(adoption_report(sheet))
    return VIOLATIONS if sheet.new_violations else DONE
