"""``permitgen limits``: prints what else passes at the circuits of a project."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from permitgen.cli.ending import end, refuse
from permitgen.cli.exit_status import BAD_INPUT, DONE, VIOLATIONS
from permitgen.cli.opening import EDITION, PROJECT, open_or_exit


@click.command(
    help="""Print what else passes at each circuit of PROJECT, or at CIRCUIT alone, and what forbids the next: device ratings, conductor
sizes, raceways, lengths. Each was tried alone, as permitted and as built where that differs.

Exit status 1 when a circuit that is printed violates a rule.
"""
)
@PROJECT
@click.argument("circuit", default="")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="Form of the output.")
@EDITION
def limits(project: Path, circuit: str, form: str, edition: str) -> None:
    from permitgen.documents.limits_text import limits_json, limits_report
    from permitgen.package.field_and_record import limits_of_project
    from permitgen.reading.nearest import did_you_mean
    from permitgen.reading.problems import ProblemsError
    from permitgen.views.title import title_of

    opened = open_or_exit(project, edition)
    known = list(opened.evaluation.system.circuits)
    if circuit and circuit not in known:
        end(f'"{circuit}" is no circuit of this project{did_you_mean(circuit, known)}', BAD_INPUT)
    try:
        page = limits_of_project(opened, (circuit,) if circuit else None)
    except ProblemsError as error:
        refuse(error)
    click.echo(limits_json(page, title_of(opened.evaluation)) if form == "json" else limits_report(page))
    sys.exit(VIOLATIONS if any(card.violated for card in page.cards) else DONE)
