"""``permitgen freeze``: keeps the sizes that the approved revision was approved with."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from permitgen.cli.ending import end_unwritten, refuse
from permitgen.cli.exit_status import DONE
from permitgen.cli.opening import PROJECT


@click.command(
    help="""Keep the sizes of the newest approved revision of PROJECT in approved/NUMBER.yaml beside the project file.

Do it once, when the stamped set came back (project: revisions: approved:). From then on no newer program, edition or edit chooses
another size for what was approved: check tells "approved as …, today …", and documents keep the approved one. Compare what is
written with the stamped set. The file is never written again.
"""
)
@PROJECT
def freeze(project: Path) -> None:
    from permitgen.package.freeze_job import freeze as keep
    from permitgen.reading.problems import ProblemsError

    try:
        kept = keep(project)
    except ProblemsError as error:
        refuse(error)
    except OSError as error:
        end_unwritten(error, project)
    click.echo(f"written: {kept.file}")
    click.echo(
        f"{kept.count} sizes of revision {kept.revision}, {kept.chosen} of them chosen by the program; compare them with the stamped set"
    )
    sys.exit(DONE)
