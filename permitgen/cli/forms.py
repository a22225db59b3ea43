"""``permitgen forms``: the fields of a form, and a mapping to start from."""

from __future__ import annotations

from pathlib import Path

import click

from permitgen.cli.ending import end, refuse
from permitgen.cli.exit_status import BAD_INPUT
from permitgen.cli.writing import write_or_exit


@click.command(
    help="List the fields of FILE, a form of a department or a utility (PDF or Word), as a mapping to start from: every field with what it "
    "takes, all left as they are."
)
@click.argument("file", type=click.Path(path_type=Path), required=False)
@click.option("--out", type=click.Path(path_type=Path), metavar="MAPPING", help="Write the mapping to this file, which must not exist yet.")
@click.option("--values", is_flag=True, help="List the values that a mapping may name.")
def forms(file: Path | None, out: Path | None, values: bool) -> None:  # noqa: FBT001
    from permitgen.documents.form_values_text import form_values_text
    from permitgen.views.form_values import documented_values

    if values:
        click.echo(form_values_text(documented_values()))
        return
    if file is None:
        end("name a form, or ask for --values", BAD_INPUT)
    mapping = _mapping_of(file)
    if out is None:
        click.echo(mapping, nl=False)
        return
    write_or_exit(out, mapping.encode(), is_new=True)
    click.echo(f"{out}")


def _mapping_of(file: Path) -> str:
    from permitgen.documents.forms.form import FormRefusedError
    from permitgen.documents.forms.form_file import LARGEST_BYTES, form_of
    from permitgen.documents.forms.start_mapping import start_mapping
    from permitgen.reading.problems import ProblemsError
    from permitgen.reading.reader import file_content

    try:
        return start_mapping(form_of(file_content(file, LARGEST_BYTES)), file.name)
    except ProblemsError as error:
        refuse(error)
    except FormRefusedError as error:
        end(f"{file}:1:1: the file {error}", BAD_INPUT)
