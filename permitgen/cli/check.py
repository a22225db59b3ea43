"""``permitgen check``: prints the findings of a project."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from permitgen.cli.ending import refuse
from permitgen.cli.exit_status import DONE, VIOLATIONS
from permitgen.cli.opening import EDITION, PROJECT, open_or_exit

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.evaluation.gates import GateName
    from permitgen.package.opened_project import OpenedProject
    from permitgen.views.findings import FindingText


def _print_why(rule: str, findings: Sequence[FindingText]) -> None:
    from permitgen.cli.rules import known_rule_or_exit
    from permitgen.documents.rules_text import why_report
    from permitgen.views.rule_page import rule_names

    known_rule_or_exit(rule, tuple(dict.fromkeys((*rule_names(), *(finding.rule for finding in findings)))))
    click.echo(why_report(rule, [finding for finding in findings if finding.rule == rule]))


def _print_findings(opened: OpenedProject, findings: Sequence[FindingText], form: str, *, everything: bool) -> None:
    from permitgen.documents.findings_json import findings_json
    from permitgen.documents.findings_sarif import findings_sarif
    from permitgen.documents.findings_text import findings_report
    from permitgen.package.asked_job import asked_of
    from permitgen.package.standing import standing_of_project
    from permitgen.views.questions import questions_of
    from permitgen.views.title import title_of

    evaluation, file = opened.evaluation, opened.loaded.file.file
    gates, title = standing_of_project(opened).gates, title_of(evaluation)
    questions = questions_of(findings, evaluation.system)
    if form == "json":
        click.echo(findings_json(findings, questions, gates, title, opened.fingerprint, asked_of(opened)).decode(), nl=False)
    elif form == "sarif":
        click.echo(findings_sarif(findings, evaluation, file).decode(), nl=False)
    else:
        click.echo(findings_report(findings, questions, gates, title, asked_of(opened), file=file, everything=everything))


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
@click.option("--all", "everything", is_flag=True, help="Print every finding in full and what passes, too (text form).")
@click.option("--unread", is_flag=True, help="List instead the stated facts that no rule consumed and no document prints.")
@click.option("--why", default="", metavar="RULE", help="Print instead how RULE stands with each subject, and why (text form).")
@click.option("--gate", type=click.Choice(["permit", "hang", "energize"]), help="Exit by this gate: may it be handed in, hung, energized?")
@EDITION
def check(
    project: Path,
    form: str,
    everything: bool,  # noqa: FBT001 - the options' values
    unread: bool,  # noqa: FBT001
    why: str,
    gate: GateName | None,
    edition: str,
) -> None:
    from permitgen.package.standing import findings_of_states, is_violated, standing_of_project
    from permitgen.reading.problems import ProblemsError

    if why and form != "text":
        raise click.UsageError("--why prints text only")
    opened = open_or_exit(project, edition)
    try:
        findings = findings_of_states(opened, with_inapplicable=bool(why) or form != "text")
    except ProblemsError as error:
        refuse(error)
    if unread:
        _list_unread(opened)
    elif why:
        _print_why(why, findings)
    else:
        _print_findings(opened, findings, form, everything=everything)
    shut = is_violated(opened) if gate is None else not standing_of_project(opened).gate(gate).is_open
    sys.exit(VIOLATIONS if shut else DONE)
