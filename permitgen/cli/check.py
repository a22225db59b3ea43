"""``permitgen check``: prints the findings of a project."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from permitgen.cli.exit_status import DONE, VIOLATIONS
from permitgen.cli.opening import EDITION, PROJECT, open_or_exit

if TYPE_CHECKING:
    from permitgen.package.opened_project import OpenedProject


def _list_unread(opened: OpenedProject) -> None:
    from permitgen.package.unread import unread_facts

    for fact in unread_facts(opened):
        click.echo(str(fact))


@click.command(help="Print the findings of PROJECT. Exit status 1 when a rule is violated.")
@PROJECT
@click.option("--format", "form", type=click.Choice(["text", "json", "sarif"]), default="text", help="Form of the output.")
@click.option("--all", "everything", is_flag=True, help="Print what passes, too (text form).")
@click.option("--unread", is_flag=True, help="List instead the stated facts that no rule consumed and no document prints.")
@EDITION
def check(project: Path, form: str, everything: bool, unread: bool, edition: str) -> None:  # noqa: FBT001 - the options' values
    from permitgen.views.findings import findings_of
    from permitgen.views.title import title_of

    opened = open_or_exit(project, edition)
    evaluation = opened.evaluation
    if unread:
        _list_unread(opened)
        sys.exit(VIOLATIONS if evaluation.has_violations else DONE)
    findings = findings_of(evaluation, with_inapplicable=form != "text")
    title = title_of(evaluation)
    if form == "json":
        from permitgen.documents.findings_json import findings_json

        click.echo(findings_json(findings, title, opened.fingerprint).decode(), nl=False)
    elif form == "sarif":
        from permitgen.documents.findings_sarif import findings_sarif

        click.echo(findings_sarif(findings, evaluation, opened.loaded.file.file).decode(), nl=False)
    else:
        from permitgen.documents.findings_text import findings_report

        click.echo(findings_report(findings, title, everything=everything))
    sys.exit(VIOLATIONS if evaluation.has_violations else DONE)
