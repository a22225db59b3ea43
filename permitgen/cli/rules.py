"""``permitgen rules``: prints what the rules require, and where each edition says so."""

from __future__ import annotations

import click

from permitgen.cli.ending import end
from permitgen.cli.exit_status import BAD_INPUT


@click.command(
    help="List all rules with their sections and how their texts are known; of one RULE print what it requires, why, and two examples."
)
@click.argument("rule", required=False, default="")
@click.option("--edition", default="", metavar="YEAR", help="List the sections of this edition of the NEC; else of the newest one read.")
def rules(rule: str, edition: str) -> None:
    from permitgen.code.errors import UnknownEditionError
    from permitgen.documents.rules_text import rule_report, rules_report
    from permitgen.views.rule_page import rule_list, rule_names, rule_page

    if rule:
        known_rule_or_exit(rule, rule_names())
        click.echo(rule_report(rule_page(rule)))
        return
    try:
        click.echo(rules_report(rule_list(edition)))
    except UnknownEditionError as error:
        end(str(error), BAD_INPUT)


def known_rule_or_exit(rule: str, known: tuple[str, ...]) -> None:
    """Print that there is no such rule, with the nearest one, and exit with status 2, unless ``rule`` is known."""
    from permitgen.reading.nearest import did_you_mean

    if rule not in known:
        end(f'"{rule}" is no rule{did_you_mean(rule, known)} (all of them: permitgen rules)', BAD_INPUT)
