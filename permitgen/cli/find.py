"""``permitgen find``: finds equipment, devices, circuits, loads and labels in all projects below a folder."""

from __future__ import annotations

import json
import sys
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

import click

from permitgen.cli.exit_status import BAD_INPUT, DONE
from permitgen.cli.opening import project_files_or_exit
from permitgen.views.found import KINDS

if TYPE_CHECKING:
    from permitgen.views.found import Found


@click.command(
    help="""Find what answers to all WORDS in the projects below FOLDER: by tag, name, catalog entry, rating or whatever else is said of it.

A word counts as a whole ("60A" is not in "160 A"), several in quotation marks as they stand, and * stands for any letters and figures.
Looked through are project files as they were written, with the hardware files that they name, and the labels of the packages beside them
with the words and Document IDs that were printed: which houses have this breaker, this battery, a label of a wording that was withdrawn.

The owner's name and how to reach the owner are printed with --contacts only. The exit status is 0, found or not; 2 where a
project file or a hardware file cannot be read: the others were looked through.
"""
)
@click.argument("folder", type=click.Path(path_type=Path))
@click.argument("words", nargs=-1, required=True)
@click.option("--only", "kinds", type=click.Choice(KINDS), multiple=True, help="Kind of thing. May be given several times.")
@click.option("--contacts", is_flag=True, help="Print the owner's contacts, too: they are private.")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="Form of the output.")
def find(
    folder: Path,
    words: tuple[str, ...],
    kinds: tuple[str, ...],
    contacts: bool,  # noqa: FBT001 - the option's value
    form: str,
) -> None:
    from permitgen.package.shelf_find import find_in
    from permitgen.reading.problems import ProblemsError

    if not all(word.strip(" *") for word in words):
        raise click.UsageError("a word of letters or figures was expected")
    files = project_files_or_exit(folder)
    found: list[Found] = []
    status = DONE
    for file in files:
        try:
            looked = find_in(folder / file, words, kinds, with_contacts=contacts)
        except ProblemsError as error:
            click.echo(str(error), err=True)
            status = BAD_INPUT
            continue
        found += looked.found
        for problem in looked.problems:
            click.echo(str(problem), err=True)
            status = BAD_INPUT
    _print(found, len(files), form)
    sys.exit(status)


def _print(found: list[Found], looked_through: int, form: str) -> None:
    from permitgen.views.found import found_lines
    from permitgen.views.wording import plural

    if form == "json":
        rows = [{**{key: said for key, said in asdict(each.thing).items() if key != "says"}, **_of_project(each)} for each in found]
        click.echo(json.dumps(rows, indent=2, ensure_ascii=False))
        return
    for line in found_lines(found):
        click.echo(line)
    houses = len({each.project_file for each in found})
    click.echo(f"{plural(len(found), 'thing')} in {plural(houses, 'project')} of {looked_through}")


def _of_project(each: Found) -> dict[str, object]:
    return {"project": each.project, "address": each.address, **({"contacts": each.contacts} if each.contacts else {})}
