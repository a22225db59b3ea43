"""``permitgen check``: prints the findings of a project."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from permitgen.cli.exit_status import BAD_INPUT, DONE, VIOLATIONS
from permitgen.cli.opening import EDITION, PROJECT, open_or_exit

if TYPE_CHECKING:
    from permitgen.evaluation.gates import GateName
    from permitgen.package.opened_project import OpenedProject


def _list_unread(opened: OpenedProject) -> None:
    from permitgen.package.unread import unread_facts

    for fact in unread_facts(opened):
        click.echo(str(fact))


@click.command(
    help="""Print the findings of PROJECT, permitted, built and tested, and how its gates stand.

Exit status 1 when something is violated in a state entered so far: permitted, built where something differs from the plans, tested where
a test was made. What is only due does not count. With --gate the exit status is 0 when that gate is open and 1 when it is shut.
"""
)
@PROJECT
@click.option("--format", "form", type=click.Choice(["text", "json", "sarif"]), default="text", help="Form of the output.")
@click.option("--all", "everything", is_flag=True, help="Print what passes, too (text form).")
@click.option("--unread", is_flag=True, help="List instead the stated facts that no rule consumed and no document prints.")
@click.option("--gate", type=click.Choice(["permit", "hang", "energize"]), help="Exit by this gate: may it be handed in, hung, energized?")
@EDITION
def check(
    project: Path,
    form: str,
    everything: bool,  # noqa: FBT001 - the options' values
    unread: bool,  # noqa: FBT001
    gate: GateName | None,
    edition: str,
) -> None:
    from permitgen.package.standing import findings_of_states, is_violated, standing_of_project
    from permitgen.reading.problems import ProblemsError
    from permitgen.views.title import title_of

    opened = open_or_exit(project, edition)
    evaluation = opened.evaluation
    if unread:
        _list_unread(opened)
        sys.exit(VIOLATIONS if evaluation.has_violations else DONE)
    try:
        findings = findings_of_states(opened, with_inapplicable=form != "text")
    except ProblemsError as error:
        click.echo(str(error), err=True)
        sys.exit(BAD_INPUT)
    standing = standing_of_project(opened)
    title = title_of(evaluation)
    if form == "json":
        from permitgen.documents.findings_json import findings_json

        click.echo(findings_json(findings, standing.gates, title, opened.fingerprint).decode(), nl=False)
    elif form == "sarif":
        from permitgen.documents.findings_sarif import findings_sarif

        click.echo(findings_sarif(findings, evaluation, opened.loaded.file.file).decode(), nl=False)
    else:
        from permitgen.documents.findings_text import findings_report

        click.echo(findings_report(findings, standing.gates, title, everything=everything))
    shut = is_violated(opened) if gate is None else not standing.gate(gate).is_open
    sys.exit(VIOLATIONS if shut else DONE)
