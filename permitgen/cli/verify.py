"""``permitgen verify``: compares a package with its manifest."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from permitgen.cli.ending import end
from permitgen.cli.exit_status import BAD_INPUT, DONE, VIOLATIONS


@click.command(
    help="""Print which files of PACKAGE were changed, lost or added since it was built. Exit status 1 when any was.

A signature beside the manifest is checked, too; with --signer there must be one by that key. With --project the Document IDs
of the package are compared with those of the project as it stands now: what is old is to be taken down.
"""
)
@click.argument("package", type=click.Path(path_type=Path))
@click.option(
    "--signer",
    default="",
    metavar="KEY",
    help="Public key that must have signed the manifest: 64 hex digits, PEM form, or a file of either.",
)
@click.option("--project", type=click.Path(path_type=Path), help="Say which labels, plates, sheets and pages this project makes old.")
def verify(package: Path, signer: str, project: Path | None) -> None:
    from permitgen.package.verify import NotAPackageError, verify_package

    wanted = _wanted(signer)
    try:
        found = verify_package(package)
    except NotAPackageError as error:
        end(str(error), BAD_INPUT)
    for what, names in (("changed", found.changed), ("missing", found.missing), ("added", in_few_lines(package, found.added))):
        for name in names:
            click.echo(f"{what:<8} {name}")
    click.echo(
        "as it was built" if found.none else f"{len(found.changed) + len(found.missing) + len(found.added)} files differ from the manifest"
    )
    signed = _signature_holds(package, wanted)
    current = project is None or _is_current(package, project)
    sys.exit(DONE if found.none and signed and current else VIOLATIONS)


def _is_current(package: Path, project: Path) -> bool:
    """Say what of a package the project as it stands now makes old."""
    from permitgen.cli.opening import open_or_exit
    from permitgen.documents.changes_text import documents_report
    from permitgen.package.document_ids import documents_in
    from permitgen.package.verify import NotAPackageError, documents_listed
    from permitgen.views.document_list import document_changes

    try:
        listed, files = documents_listed(package)
    except NotAPackageError as error:
        end(str(error), BAD_INPUT)
    changes = document_changes(listed, documents_in(open_or_exit(project), files))
    click.echo(documents_report(changes))
    return not changes.old


def in_few_lines(package: Path, added: tuple[str, ...]) -> tuple[str, ...]:
    """Return added files, those of a folder in which nothing is ours as one line (the files of ``.git`` are many)."""
    from permitgen.package.listed import listed_in

    listed = listed_in(package)
    lines: dict[str, int] = {}
    for name in added:
        head = name.split("/")[0]
        line = name if "/" not in name or listed.holds(head) else f"{head}/"
        lines[line] = lines.get(line, 0) + 1
    return tuple(f"{line} ({count} files)" if line.endswith("/") else line for line, count in lines.items())


def _wanted(signer: str) -> str:
    from permitgen.package.signature import NotInstalledError, SignatureError, public_key_of

    if not signer.strip():
        return ""
    try:
        return public_key_of(signer)
    except (SignatureError, NotInstalledError) as error:
        shown = " ".join(signer.split())
        end(f'--signer: "{shown[:40]}{"…" if len(shown) > 40 else ""}" {error}', BAD_INPUT)


def _signature_holds(package: Path, signer: str) -> bool:
    """Say how the signature stands; without one, only a wanted signer is missed."""
    from permitgen.package.listed import MANIFEST, SIGNATURE
    from permitgen.package.signature import NotInstalledError, SignatureError, verify_manifest

    file = package / SIGNATURE
    if not file.is_file():
        click.echo("not signed")
        return not signer
    try:
        checked = verify_manifest((package / MANIFEST).read_bytes(), file.read_bytes(), {signer: "the key given"} if signer else None)
    except NotInstalledError as error:
        end(f"{file}: {error}", BAD_INPUT)
    except (OSError, SignatureError) as error:
        click.echo(f"{file}: {error}", err=True)
        return False
    click.echo(checked.message)
    return checked.is_good and (not signer or checked.signer == signer)
