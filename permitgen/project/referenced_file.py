"""Files the project names (photos, letters, data sheets) must lie inside the project folder."""

from __future__ import annotations

from pathlib import Path


class ReferencedFileError(ValueError):
    """A file named in the project is missing, or lies outside the project folder."""


def resolve_inside(folder: Path, text: str) -> Path:
    """Return the file ``text`` names, relative to ``folder``.

    Raises:
        ReferencedFileError: the path is absolute, climbs out, leads out through a link, or names no file.
    """
    raise NotImplementedError
