"""``permitgen sign``: signs the manifest of a package."""

from __future__ import annotations

from pathlib import Path

import click

from permitgen.cli.ending import end, end_unwritten
from permitgen.cli.exit_status import BAD_INPUT
from permitgen.cli.writing import write_or_exit


@click.command(
    help="""Sign the manifest of PACKAGE, so that anyone with the public key can tell what was changed since.

A package that is not as it was built is not signed.
"""
)
@click.argument("package", type=click.Path(path_type=Path))
@click.option("--key", type=click.Path(path_type=Path, dir_okay=False), required=True, help="File of an Ed25519 private key in PEM form.")
@click.option("--new-key", is_flag=True, help="Make the key first; the file must not exist yet.")
def sign(package: Path, key: Path, *, new_key: bool) -> None:
    from permitgen.project.staging import locked

    try:
        with locked(package.resolve().parent):  # no build shall exchange the package meanwhile
            _sign(package, key, new_key=new_key)
    except OSError as error:
        end_unwritten(error, package)


def _sign(package: Path, key: Path, *, new_key: bool) -> None:
    from permitgen.package.listed import MANIFEST, SIGNATURE
    from permitgen.package.signature import NotInstalledError, SignatureError, sign_manifest
    from permitgen.package.signature import new_key as made_key

    added = _refuse_what_differs(package)
    try:
        if new_key:
            pem, public = made_key()
            write_or_exit(key, pem, is_secret=True, is_new=True)
            click.echo(f"public key {public}; keep {key} secret")
        signature = sign_manifest((package / MANIFEST).read_bytes(), _private_key(key))
    except (SignatureError, NotInstalledError) as error:
        end(f"{key}: {error}", BAD_INPUT)
    write_or_exit(package / SIGNATURE, signature)
    click.echo(f"signed {package / MANIFEST}")
    if added:
        click.echo(f"not signed, for the manifest does not name them: {', '.join(added)}")


def _private_key(key: Path) -> bytes:
    try:
        return key.read_bytes()
    except OSError as error:
        end(f"{key}: {error.strerror}; expected the file of a private key, or --new-key to make one", BAD_INPUT)


def _refuse_what_differs(package: Path) -> tuple[str, ...]:
    """Exit where the package is not what its manifest says, or a signature of another kind is there; return what was added to it."""
    from permitgen.cli.verify import in_few_lines
    from permitgen.package.listed import MANIFEST, SIGNATURE
    from permitgen.package.signature import is_signature
    from permitgen.package.verify import NotAPackageError, verify_package

    try:
        found = verify_package(package)
    except NotAPackageError as error:
        end(str(error), BAD_INPUT)
    if found.changed or found.missing:
        names = ", ".join([*(f"{name} changed" for name in found.changed), *(f"{name} missing" for name in found.missing)])
        end(f"{package / MANIFEST}: the package is not as it was built: {names}; build it again, then sign", BAD_INPUT)
    present = package / SIGNATURE
    if present.is_symlink() or (present.exists() and not (present.is_file() and is_signature(present.read_bytes()))):
        end(f"{present}: is not a signature of this program; move it elsewhere", BAD_INPUT)
    return in_few_lines(package, found.added)
