"""``permitgen build``: evaluates a project and writes its package."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import click

from permitgen.cli.ending import end
from permitgen.cli.exit_status import BAD_INPUT, CANNOT_WRITE, DONE, INCOMPLETE, VIOLATIONS
from permitgen.cli.opening import EDITION, PROJECT, open_or_exit


@click.command(
    help="""Evaluate PROJECT and write its package.

Documents are written even where rules are violated; they then say so on every sheet, and the exit status is 1. Where one cannot
be made (a label or the placard does not fit), the others are written and say so, and the exit status is 5.

Replaced or removed are only files that the package in DIR names and nobody changed. Your own files in DIR stay; a document that you
edited stays as NAME.kept-DIGEST beside the new one.

The derivations on paper, some hundred pages, are drawn on request: --only derivations_paper. So is what
else passes at each circuit, on paper: --only field_limits.
"""
)
@PROJECT
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    default=None,
    metavar="DIR",
    help="Folder of the package. Default: package beside the project file.",
)
@click.option(
    "--only", multiple=True, metavar="DOC", help="Write only this document; others from the same inputs stay. May be given several times."
)
@EDITION
def build(project: Path, out: Path | None, only: tuple[str, ...], edition: str) -> None:
    from permitgen.cli.console import BuildReport
    from permitgen.package.build import build_package, chosen_documents, default_folder
    from permitgen.package.documents import DOCUMENTS
    from permitgen.package.folder import CannotWriteError, UnusableFolderError
    from permitgen.package.standing import is_violated, standing_of_project
    from permitgen.reading.nearest import did_you_mean
    from permitgen.reading.problems import ProblemsError

    names = list(dict.fromkeys(document.asked_as for document in DOCUMENTS))
    for name in only:
        if name not in names:
            end(f'--only: no document is called "{name}"{did_you_mean(name, names)}; documents: {", ".join(names)}', BAD_INPUT)
    opened = open_or_exit(project, edition)
    folder = out if out is not None else default_folder(project)
    with BuildReport(len(chosen_documents(only))) as report:
        opened = replace(opened, tell=report.doing)
        try:
            standing = standing_of_project(opened)
            built = build_package(opened, folder, only=only, progress=report.drawing)
        except (ProblemsError, UnusableFolderError) as error:
            end(str(error), BAD_INPUT)
        except CannotWriteError as error:
            end(str(error), CANNOT_WRITE)
    report.summary(opened, standing, folder, built)
    if built.missing:
        sys.exit(INCOMPLETE)
    sys.exit(VIOLATIONS if is_violated(opened) else DONE)
