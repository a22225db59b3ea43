"""``permitgen hardware``: what hardware files leave open and who uses them, and hardware files from and for spreadsheets."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from permitgen.cli.ending import end, refuse
from permitgen.cli.exit_status import BAD_INPUT
from permitgen.cli.opening import project_files_or_exit
from permitgen.cli.writing import write_or_exit

if TYPE_CHECKING:
    from collections.abc import Iterable

    from permitgen.package.hardware_check import CheckedEntry
    from permitgen.project.hardware_mapping import HardwareMapping
    from permitgen.reading.table_file import Table

_PATH = click.Path(path_type=Path)


@click.group(help="Hardware files: each model described once, checked by a second person, and used by every project that names the file.")
def hardware() -> None:
    pass


@hardware.command(
    help="""List the entries of FILE, or of every hardware file of a FOLDER: who checked each, and what rules ask for and find open.

With --projects: which projects below that folder use an entry, which rules wait there for what is open, and which keys were others when
the project's package was built. Exit status 2 when an entry cannot be read.
"""
)
@click.argument("path", metavar="FILE|FOLDER", type=_PATH)
@click.option("--projects", type=_PATH, metavar="FOLDER", help="Look for projects that use the entries below this folder.")
def check(path: Path, projects: Path | None) -> None:
    from permitgen.package.hardware_check import checked_entries, opened_projects, read_hardware_files
    from permitgen.reading.problems import ProblemsError

    try:
        files = read_hardware_files(path)
    except ProblemsError as error:
        refuse(error)
    folders = [(projects / file).parent for file in project_files_or_exit(projects)] if projects is not None else []
    found, problems = opened_projects(folders)
    entries = checked_entries(files, found)
    for line in _lines(entries):
        click.echo(line)
    for problem in problems:
        click.echo(f"not read: {problem}", err=True)
    unchecked = sum(not each.checked for each in entries)
    told = f"; {len(found)} projects read" if projects is not None else ""
    click.echo(f"{len(entries)} entries, {unchecked} of them checked by nobody{told}")


def _lines(entries: Iterable[CheckedEntry]) -> Iterable[str]:
    for each in entries:
        yield f"{each.place} {each.name} ({each.kind}): {f'checked by {each.checked}' if each.checked else 'checked by nobody'}"
        waiting = {key: dict.fromkeys(rule for use in each.uses for rule in use.waiting.get(key, ())) for key in _keys_waiting(each)}
        for key in each.open:
            rules = waiting.pop(key.key, {})
            yield f"    open: {key.key} ({key.asked}; {key.knows})" + (f", for {', '.join(rules)}" if rules else "")
        yield from (f"    open: {key}, for {', '.join(rules)}" for key, rules in waiting.items())
        for use in each.uses:
            changed = f": changed since its package was built: {', '.join(use.changed)}" if use.changed else ""
            yield f"    used by {use.project}{changed}"


def _keys_waiting(each: CheckedEntry) -> Iterable[str]:
    return dict.fromkeys(key for use in each.uses for key in use.waiting)


@hardware.command(
    "import",
    help="""Make a hardware file of a spreadsheet, one entry a row.

--mapping names the column of each key (see docs/hardware.md); a sheet made by "hardware blank" needs --kind alone. What is wrong is one
message a cell, and then nothing is written.
""",
)
@click.argument("file", metavar="FILE.csv|xlsx", type=_PATH)
@click.option("--mapping", type=_PATH, metavar="FILE", help="Which column holds which key.")
@click.option("--kind", default="", metavar="KIND", help="Kind of all rows of a sheet whose columns are called by the keys.")
@click.option("--out", type=_PATH, metavar="FILE.yaml", help="Write the hardware file there; it must not exist yet.")
def import_(file: Path, mapping: Path | None, kind: str, out: Path | None) -> None:
    from permitgen.project.hardware_import import hardware_of
    from permitgen.reading.problems import ProblemsError

    if (mapping is None) == (not kind):
        raise click.UsageError("give either --mapping or --kind")
    try:
        table, told = _table(file, mapping, kind)
        text = hardware_of(table, told)
    except ProblemsError as error:
        refuse(error)
    if out is None:
        click.echo(text, nl=False)
        return
    write_or_exit(out, text.encode(), is_new=True)
    taken = {column.name for column in (told.name, *told.columns.values())}
    left = [cell.text for cell in table.header if cell.text not in taken]
    click.echo(f"{out}: {len(table.rows)} entries" + (f"; columns not taken: {', '.join(left)}" if left else ""))


def _table(file: Path, mapping: Path | None, kind: str) -> tuple[Table, HardwareMapping]:
    from permitgen.project.hardware_mapping import mapping_of_keys, read_mapping
    from permitgen.reading.reader import file_content
    from permitgen.reading.table_file import LARGEST_BYTES, read_table

    shown = file.as_posix()
    if mapping is None:
        table = read_table(file_content(file, LARGEST_BYTES), shown)
        return table, mapping_of_keys(table, _known(kind))
    told = read_mapping(file_content(mapping, LARGEST_BYTES), mapping.as_posix())
    return read_table(file_content(file, LARGEST_BYTES), shown, sheet=told.sheet, header_row=told.header_row), told


@hardware.command(help="Print an empty sheet for KIND: the keys as columns, and below them what each means, an example and who needs it.")
@click.argument("kind")
@click.option("--out", type=_PATH, metavar="FILE.csv", help="Write the sheet there; it must not exist yet.")
def blank(kind: str, out: Path | None) -> None:
    from permitgen.documents.hardware_sheet import blank_csv

    content = blank_csv(_known(kind))
    if out is None:
        click.echo(content.decode("utf-8-sig"), nl=False)
        return
    write_or_exit(out, content, is_new=True)
    click.echo(f"{out}")


def _known(kind: str) -> str:
    from permitgen.project.messages import kinds
    from permitgen.reading.nearest import did_you_mean
    from permitgen.reading.problems import quoted

    if kind not in kinds():
        end(f"{quoted(kind)} is not a kind of hardware{did_you_mean(kind, kinds())}; there are: {', '.join(kinds())}", BAD_INPUT)
    return kind
