"""Compares a package with its manifest."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from permitgen.package.listed import MANIFEST, SIGNATURE, NotAPackageError, digest_of, listed_in

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
        changed = tuple(name for name in sorted(listed) if name in present and digest_of(folder / name) != listed[name])
    except OSError as error:
        raise NotAPackageError(f"{error.filename}: {error.strerror}; expected a package that can be read") from error
    return Differences(changed, tuple(sorted(set(listed) - present)), tuple(sorted(present - set(listed))))
