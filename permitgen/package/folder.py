"""Writes a folder whole or not at all."""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from pathlib import Path

MANIFEST = "manifest.json"


class CannotWriteError(Exception):
    """The package could not be written; the message says what stood in the way."""


def write_folder(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write ``files`` (relative path to bytes) into a new folder beside ``folder`` and put it in its place by renaming.

    A build that is killed leaves the old folder whole: nothing in it is touched until everything new is on disk.

    Raises:
        CannotWriteError: the place holds something that is not a package, or the disk refuses.
    """
    fresh, old = folder.with_name(f".{folder.name}.new"), folder.with_name(f".{folder.name}.old")
    try:
        _recover(folder, old)
        _refuse_strangers(folder)
        shutil.rmtree(fresh, ignore_errors=True)
        for name, content in files.items():
            path = fresh / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content)
        _swap(folder, fresh, old)
    except OSError as error:
        shutil.rmtree(fresh, ignore_errors=True)
        raise CannotWriteError(f"{folder}: {error.strerror or error}") from error


def _recover(folder: Path, old: Path) -> None:
    """Put back a package that a killed build had set aside."""
    if old.exists() and not folder.exists():
        old.rename(folder)
    shutil.rmtree(old, ignore_errors=True)


def _refuse_strangers(folder: Path) -> None:
    if not folder.exists():
        folder.parent.mkdir(parents=True, exist_ok=True)
        return
    if not folder.is_dir():
        raise CannotWriteError(f"{folder}: is a file; expected a folder for the package")
    if any(folder.iterdir()) and not (folder / MANIFEST).is_file():
        raise CannotWriteError(f"{folder}: holds files that are not a package; choose an empty or new folder with --out")


def _swap(folder: Path, fresh: Path, old: Path) -> None:
    if folder.exists():
        folder.rename(old)
    try:
        fresh.rename(folder)
    except OSError:
        if old.exists():
            old.rename(folder)
        raise
    shutil.rmtree(old, ignore_errors=True)
