"""The pages of a record as one text, for checks that ask what a reader of the whole finds."""

from __future__ import annotations

from collections.abc import Mapping

NAMES = ("index.html", "electrician.html", "calculations.html")


def pages_of(files: Mapping[str, bytes | str], folder: str = "record") -> str:
    """Return the pages of one reader's folder, one behind the other; those that are not there are left out."""
    found = [files[name] for name in (f"{folder}/{page}" for page in NAMES) if name in files]
    return "\n".join(page.decode("utf-8") if isinstance(page, bytes) else page for page in found)
