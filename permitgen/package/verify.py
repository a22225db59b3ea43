"""Compares a package with its manifest."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from permitgen.package.listed import MANIFEST, SIGNATURE, NotAPackageError, digest_of, listed_in, signs_a_folder
from permitgen.views.document_list import ListedDocument

__all__ = ["Differences", "NotAPackageError", "verify_package"]


@dataclass(frozen=True, slots=True)
class Differences:
    """Files that changed since the manifest was written, that are gone, and that the manifest does not know."""

    changed: tuple[str, ...]
    missing: tuple[str, ...]
    added: tuple[str, ...]

    @property
    def none(self) -> bool:
        """Whether the package is as it was written."""
        return not (self.changed or self.missing or self.added)


def verify_package(folder: Path) -> Differences:
    """Return how the files of a package differ from its manifest.

    Raises:
        NotAPackageError: no manifest, or one that is not ours, or a file that cannot be read.
    """
    listed = listed_in(folder).outputs
    try:
        present = {p.relative_to(folder).as_posix() for p in folder.rglob("*") if p.is_file()} - {MANIFEST, SIGNATURE}
        present = {name for name in present if not signs_a_folder(folder, name, listed)}
        changed = tuple(name for name in sorted(listed) if name in present and digest_of(folder / name) != listed[name])
    except OSError as error:
        raise NotAPackageError(f"{error.filename}: {error.strerror}; expected a package that can be read") from error
    return Differences(changed, tuple(sorted(set(listed) - present)), tuple(sorted(present - set(listed))))


def documents_listed(folder: Path) -> tuple[tuple[ListedDocument, ...], tuple[str, ...]]:
    """Return the Document IDs of a package, as its manifest lists them, and the names of its files.

    Raises:
        NotAPackageError: no manifest, or one without Document IDs.
    """
    path = folder / MANIFEST
    try:
        manifest = json.loads(path.read_text("utf-8"))
        files = tuple(str(entry["path"]) for entry in manifest["outputs"])
        return tuple(_listed(row) for row in manifest["documents"]), files
    except (OSError, ValueError, KeyError, TypeError, AttributeError) as error:
        raise NotAPackageError(f"{path}: lists no Document IDs; build the package again") from error


def _listed(row: Mapping[str, str]) -> ListedDocument:
    return ListedDocument(row["document_id"], row["kind"], row["name"], row.get("place", ""), row.get("tag", ""))
