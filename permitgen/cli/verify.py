"""``permitgen verify``: compares a package with its manifest."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from permitgen.cli.exit_status import BAD_INPUT, DONE, VIOLATIONS


@click.command(
    help="""Print which files of PACKAGE were changed, lost or added since it was built. Exit status 1 when any was.

A signature beside the manifest is checked, too; with --signer there must be one by that key.
"""
)
@click.argument("package", type=click.Path(path_type=Path))
@click.option("--signer", default="", metavar="KEY", help="Public key, 64 hex digits, that must have signed the manifest.")
def verify(package: Path, signer: str) -> None:
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
    signed = _signature_holds(package, signer.strip().lower())
    sys.exit(DONE if found.none and signed else VIOLATIONS)


def _signature_holds(package: Path, signer: str) -> bool:
    """Say how the signature stands; without one, only a wanted signer is missed."""
    from permitgen.package.folder import MANIFEST
    from permitgen.package.signature import NotInstalledError, SignatureError, verify_manifest

    file = package / f"{MANIFEST}.sig"
    if not file.is_file():
        click.echo("not signed")
        return not signer
    try:
        checked = verify_manifest((package / MANIFEST).read_bytes(), file.read_bytes(), {signer: "the key given"} if signer else None)
    except (SignatureError, NotInstalledError) as error:
        click.echo(f"{file}: {error}", err=True)
        return False
    click.echo(checked.message)
    return checked.is_good and (not signer or checked.signer == signer)
