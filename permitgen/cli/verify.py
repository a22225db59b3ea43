"""``permitgen verify``: compares a package with its manifest."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from permitgen.cli.exit_status import BAD_INPUT, DONE, VIOLATIONS


@click.command()
@click.argument("package", type=click.Path(path_type=Path))
def verify(package: Path) -> None:
    """Print which files of PACKAGE were changed, lost or added since it was built. Exit status 1 when any was."""
    from permitgen.package.verify import NotAPackageError, verify_package

    try:
        found = verify_package(package)
    except NotAPackageError as error:
        click.echo(str(error), err=True)
        sys.exit(BAD_INPUT)
    for what, names in (("changed", found.changed), ("missing", found.missing), ("added", found.added)):
        for name in names:
            click.echo(f"{what:<8} {name}")
    click.echo(
        "as it was built" if found.none else f"{len(found.changed) + len(found.missing) + len(found.added)} files differ from the manifest"
    )
    sys.exit(DONE if found.none else VIOLATIONS)
