"""``permitgen check``: prints the findings of a project."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from permitgen.cli.exit_status import DONE, VIOLATIONS
from permitgen.cli.opening import EDITION, PROJECT, open_or_exit


@click.command(help="Print the findings of PROJECT. Exit status 1 when a rule is violated.")
@PROJECT
@click.option("--format", "form", type=click.Choice(["text", "json", "sarif"]), default="text", help="Form of the output.")
@click.option("--all", "everything", is_flag=True, help="Print what passes, too (text form).")
@EDITION
def check(project: Path, form: str, everything: bool, edition: str) -> None:  # noqa: FBT001 - the option's value
    from permitgen.views.findings import findings_of
    from permitgen.views.title import title_of

    opened = open_or_exit(project, edition)
    evaluation = opened.evaluation
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
