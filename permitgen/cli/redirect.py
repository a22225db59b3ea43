"""``permitgen redirect``: makes the page that leads from where a record was to where it is now."""

from __future__ import annotations

from pathlib import Path

import click

from permitgen.cli.ending import end
from permitgen.cli.exit_status import BAD_INPUT
from permitgen.cli.writing import write_or_exit


@click.command(help="Write a page that leads to ADDRESS; put it where a record stood that has moved there.")
@click.argument("address")
@click.option(
    "--out", type=click.Path(path_type=Path, dir_okay=False), default=Path("index.html"), show_default=True, help="File to write."
)
def redirect(address: str, out: Path) -> None:
    from permitgen.documents.record_folder import redirect_page

    try:
        page = redirect_page(address)
    except ValueError as error:
        end(str(error), BAD_INPUT)
    write_or_exit(out, page)
    click.echo(f"wrote {out}")
