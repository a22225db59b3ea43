"""``permitgen sign``: signs the manifest of a package."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from permitgen.cli.exit_status import BAD_INPUT, CANNOT_WRITE


@click.command(help="Sign the manifest of PACKAGE, so that anyone with the public key can tell what was changed since.")
@click.argument("package", type=click.Path(path_type=Path))
@click.option("--key", type=click.Path(path_type=Path, dir_okay=False), required=True, help="File of an Ed25519 private key in PEM form.")
@click.option("--new-key", is_flag=True, help="Make the key first; the file must not exist yet.")
def sign(package: Path, key: Path, *, new_key: bool) -> None:
    from permitgen.package.folder import MANIFEST
    from permitgen.package.signature import NotInstalledError, SignatureError, sign_manifest
    from permitgen.package.signature import new_key as made_key

    try:
        manifest = (package / MANIFEST).read_bytes()
        if new_key:
            pem, public = made_key()
            with key.open("xb") as file:
                file.write(pem)
            key.chmod(0o600)
            click.echo(f"public key {public}; keep {key} secret")
        signature = sign_manifest(manifest, key.read_bytes())
        (package / f"{MANIFEST}.sig").write_bytes(signature)
    except (SignatureError, NotInstalledError) as error:
        click.echo(f"{key}: {error}", err=True)
        sys.exit(BAD_INPUT)
    except OSError as error:
        click.echo(f"{error.filename}: {error.strerror}", err=True)
        sys.exit(CANNOT_WRITE)
    click.echo(f"signed {package / MANIFEST}")
