"""``permitgen explain``: prints how a number, verdict or label came about."""

from __future__ import annotations

from pathlib import Path

import click

from permitgen.cli.ending import end
from permitgen.cli.exit_status import BAD_INPUT
from permitgen.cli.opening import EDITION, PROJECT, open_or_exit


@click.command(
    help="Print the full derivation of SUBJECT: the tag of a circuit, device, busbar or piece of equipment, or the id of a finding."
)
@PROJECT
@click.argument("subject")
@EDITION
def explain(project: Path, subject: str, edition: str) -> None:
    from permitgen.documents.explanation_text import explanation_report
    from permitgen.reading.nearest import did_you_mean
    from permitgen.views.explained_subject import explainable, explained

    opened = open_or_exit(project, edition)
    found = explained(opened.evaluation, subject)
    if found is None:
        known = explainable(opened.evaluation)
        end(
            f'"{subject}" is no circuit, equipment, raceway, control circuit or finding of this project{did_you_mean(subject, known)}',
            BAD_INPUT,
        )
    click.echo(explanation_report(found))
