"""``permitgen labels``: labels alone, for the printer at hand."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from permitgen.cli.ending import end
from permitgen.cli.exit_status import BAD_INPUT, DONE
from permitgen.cli.opening import EDITION, PROJECT, open_or_exit
from permitgen.cli.writing import write_or_exit

if TYPE_CHECKING:
    from permitgen.documents.labels.label_files import Dpi


@click.command(help="Print the labels of PROJECT true to size on the stock at hand.")
@PROJECT
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    default=Path("labels.pdf"),
    metavar="FILE",
    help="File to write: .pdf, .svg (one label) or .png (one label).",
)
@click.option(
    "--stock",
    default="letter",
    metavar="STOCK",
    help="letter, A4, a die-cut label such as 4x6 in, 'roll 4 in' (continuous), or 'tape 24 mm'. What does not fit is listed.",
)
@click.option("--copies", default=0, type=click.IntRange(0, 20), metavar="N", help="Spare copies of each label.")
@click.option("--only", multiple=True, metavar="ID", help="Print only this label; may be given several times.")
@click.option("--with", "requested", multiple=True, metavar="ID", help="Print this label, too, though nothing asks for it.")
@click.option("--except", "left_out", multiple=True, metavar="ID", help="Leave this label out; may be given several times.")
@click.option(
    "--measured",
    default="",
    metavar="LENGTH",
    help="What the 4 in bar of the last print measured, to correct the printer; two readings, across and along, with a comma between.",
)
@click.option(
    "--printing",
    default="color",
    type=click.Choice(["color", "one-color", "engraved"]),
    help="In full color, with one ink (thermal printers), or to be engraved (.svg: outlines, what is cut and what is engraved apart).",
)
@click.option("--dpi", default="300", type=click.Choice(["203", "300", "600"]), help="Dots per inch of a .png.")
@click.option("--list", "list_only", is_flag=True, help="List the labels with their places instead of printing them.")
@click.option("--test-page", is_flag=True, help="Print a page with the bars alone, to measure the printer before labels are printed.")
@EDITION
def labels(  # noqa: PLR0913, PLR0917 - one an option
    project: Path,
    out: Path,
    stock: str,
    copies: int,
    only: tuple[str, ...],
    requested: tuple[str, ...],
    left_out: tuple[str, ...],
    measured: str,
    printing: str,
    dpi: str,
    list_only: bool,  # noqa: FBT001
    test_page: bool,  # noqa: FBT001
    edition: str,
) -> None:
    from permitgen.package.label_job import LabelJob, LabelJobError, label_list, print_test_pdf, run_label_job

    opened = open_or_exit(project, edition)
    if list_only:
        click.echo(label_list(opened))
        sys.exit(DONE)
    dots: Dpi = 203 if dpi == "203" else 600 if dpi == "600" else 300
    job = LabelJob(stock, copies, only, measured, out.suffix, printing, dots, requested, left_out)
    notes: tuple[str, ...] = ()
    try:
        if test_page:
            content = print_test_pdf(stock, measured)
        else:
            printed = run_label_job(opened, job)
            content, notes = printed.content, printed.notes
    except LabelJobError as error:
        end(str(error), BAD_INPUT)
    write_or_exit(out, content)
    for note in notes:
        click.echo(note, err=True)
    click.echo(f"{out}")
