"""``permitgen schema``: prints the JSON Schema of the project file."""

from __future__ import annotations

import json

import click


@click.command(help="Print the JSON Schema (2020-12) of the project file, for editors that complete and check while one types.")
def schema() -> None:
    from permitgen.project.schema import project_schema

    click.echo(json.dumps(project_schema(), indent=2, ensure_ascii=False))
