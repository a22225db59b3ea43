"""Reads which files a manifest names: only these are ours, and only with the digest it names."""

from __future__ import annotations

import hashlib
import json
import re
import stat
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath

MANIFEST = "manifest.json"
SIGNATURE = f"{MANIFEST}.sig"
_LARGEST_BYTES = 64_000_000
_LARGEST_SIGNATURE = 10_000
_DIGEST = re.compile(r"[0-9a-f]{64}")


class NotAPackageError(Exception):
    """The folder holds no readable manifest of this program; the message says what is wrong."""


@dataclass(frozen=True, slots=True)
class DrawnDocument:
    """A document of a package: its name for ``--only``, the digest of what it was drawn from (empty where nobody knows), its files."""

    name: str
    drawn_from: str
    files: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Listed:
    """The manifest's own bytes, the fingerprint of its inputs, and the outputs it names with their digests (hex SHA-256).

    ``is_incomplete`` says that it names documents that could not be made; ``inputs`` is its list of inputs as it stands there.
    ``drawn_by`` is the digest of the program that drew the ``drawn`` documents, by name.
    """

    manifest: bytes
    fingerprint: str
    outputs: Mapping[str, str]
    is_incomplete: bool = False
    inputs: object = None
    drawn_by: str = ""
    drawn: Mapping[str, DrawnDocument] = field(default_factory=dict)

    def is_ours(self, name: str, path: Path) -> bool:
        """Say whether the file at ``path`` is the output ``name`` as it was written.

        Raises:
            OSError: it cannot be read.
        """
        return name in self.outputs and stat.S_ISREG(path.lstat().st_mode) and digest_of(path) == self.outputs[name]

    def holds(self, folder: str) -> bool:
        """Say whether an output lies in the folder of that name."""
        return any(name.startswith(f"{folder}/") for name in self.outputs)


def digest_of(path: Path) -> str:
    """Return the hex SHA-256 of a file."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def listed_in(folder: Path) -> Listed:
    """Read the manifest of a package.

    Raises:
        NotAPackageError: there is none, or it is of another program.
    """
    path = folder / MANIFEST
    try:
        found = path.lstat()
        if not stat.S_ISREG(found.st_mode) or found.st_size > _LARGEST_BYTES:
            raise NotAPackageError(f"{path}: is not a manifest of a package")
        content = path.read_bytes()
    except (OSError, ValueError) as error:
        raise NotAPackageError(f"{path}: cannot be read; expected the folder of a package") from error
    try:
        return _listed(content)
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        raise NotAPackageError(f"{path}: is not a manifest of a package") from error


def _listed(content: bytes) -> Listed:
    read = json.loads(content.decode("utf-8"))
    outputs = {str(entry["path"]): str(entry["sha256"]) for entry in read["outputs"]}
    if read["program"] != "permitgen" or not all(_is_inside(name) and _DIGEST.fullmatch(digest) for name, digest in outputs.items()):
        raise ValueError("not ours")
    rows = (DrawnDocument(str(row["name"]), str(row["from"]), tuple(map(str, row["files"]))) for row in read.get("drawn", ()))
    drawn = {row.name: row for row in rows}
    return Listed(
        content, str(read["fingerprint"]), outputs, bool(read.get("missing")), read.get("inputs"), str(read.get("drawn_by", "")), drawn
    )


def _is_inside(name: str) -> bool:
    """Say whether a name can only mean a file inside the package: a foreign manifest shall not name others."""
    plain = PurePosixPath(name)
    return plain.as_posix() == name and not plain.is_absolute() and ".." not in plain.parts and not set(name) & set("\\:\0")


def signs_a_folder(folder: Path, name: str, outputs: Mapping[str, str]) -> bool:
    """Say whether a file of a package is a signature beside the manifest of a folder in it: whoever signs a folder adds no document."""
    from permitgen.package.signature import is_signature

    plain = PurePosixPath(name)
    if plain.name != SIGNATURE or plain.with_name(MANIFEST).as_posix() not in outputs:
        return False
    path = folder / name
    return stat.S_ISREG(path.lstat().st_mode) and path.stat().st_size <= _LARGEST_SIGNATURE and is_signature(path.read_bytes())
