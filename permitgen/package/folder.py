"""Writes a package whole or not at all, and touches nothing else.

The new package is made in a staging folder beside the old one, the user's own files are linked into it, and both folders are exchanged in
one step: at every moment there is the old package or the new one, never a mixture and (on Linux and macOS) never none. The other way,
file by file in the folder with a journal, would keep the folder itself (a shell that stands in it, a mount point) but leaves a mixture
when it is cut off, until somebody runs the program again. So the folder one stands in is refused rather than taken from under one's feet.

Replaced or removed is only what the old manifest names with the digest that the file still has. A file that the user put into the folder
stays. An output that was edited stays, too, as ``<name>.kept-<8 digits of its digest><suffix>``: calculations are edited in a word
processor before they are handed in, and to refuse the next build would ask for the edit to be thrown away.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from types import EllipsisType

from permitgen.package.exchange import exchange
from permitgen.package.listed import MANIFEST, Listed, NotAPackageError, listed_in
from permitgen.package.user_files import carry, discard, empty_old
from permitgen.project.staging import dead_stagings, end_staging, locked, new_staging, write_new_file
from permitgen.project.whole_file import clear_litter

_KIND = "package"
_NEW, _ASIDE, _TREE = "new", "aside", "tree-"


class CannotWriteError(Exception):
    """The package could not be written; the message says what stood in the way."""


class UnusableFolderError(CannotWriteError):
    """No package may stand in the place that was named; the message says why and what would do."""


@dataclass(frozen=True, slots=True)
class Written:
    """What the user should hear of: files kept under another name (name, new name), and a staging folder that could not go."""

    kept: tuple[tuple[str, str], ...] = ()
    left: str = ""


def package_in(folder: Path, project: Path | None = None) -> tuple[Path, Listed | None]:
    """Return the folder itself, links followed, and the package that stands in it; nothing is written.

    Raises:
        UnusableFolderError: no package may stand there: it holds other things, or holds the ``project`` folder, or is no folder.
        CannotWriteError: it cannot be looked at.
    """
    try:
        real = _real(folder)
        if not os.path.lexists(real):
            return real, None
        if not real.is_dir():
            raise UnusableFolderError(f"{folder}: is not a folder; expected a folder for the package")
        _refuse_where_one_stands(folder, real, project)
        if not any(real.iterdir()):
            return real, None
        return real, listed_in(real)
    except NotAPackageError as error:
        raise UnusableFolderError(f"{folder}: holds files that are not a package; choose an empty or new folder with --out") from error
    except OSError as error:
        raise CannotWriteError(f"{folder}: {error.strerror or error}") from error


def _real(folder: Path) -> Path:
    if folder.is_symlink() and not folder.exists():
        raise UnusableFolderError(f"{folder}: is a link that leads nowhere; name a folder")
    try:
        real = folder.resolve()
    except RuntimeError as error:  # a loop of links, before Python 3.13
        raise UnusableFolderError(f"{folder}: is a loop of links; name a folder") from error
    with suppress(FileNotFoundError):
        real.lstat()
    return real


def _refuse_where_one_stands(folder: Path, real: Path, project: Path | None) -> None:
    """A package takes its place as a new folder, which pulls the old one from under whoever stands in it."""
    if os.path.ismount(real):
        raise UnusableFolderError(f"{folder}: is the top of a disk; name a folder in it")
    if Path.cwd().is_relative_to(real):
        raise UnusableFolderError(f"{folder}: is the folder you are in, or holds it; name another, or go elsewhere first")
    if project is not None and project.resolve().is_relative_to(real):
        raise UnusableFolderError(f"{folder}: holds the project file; name another folder, such as {folder / 'package'}")


def write_folder(folder: Path, files: Mapping[str, bytes], *, over: Listed | EllipsisType | None = ...) -> Written:
    """Write ``files`` (relative path to bytes, the manifest among them) as the package in ``folder``.

    ``over`` is the package that the files were made to stand over; another one there by now is not overwritten.

    Raises:
        UnusableFolderError: the place holds something that is not a package.
        CannotWriteError: another run writes there, or the disk refuses. The old package is as it was.
    """
    real, _found = package_in(folder)
    try:
        with _parents(real.parent), locked(real.parent):
            for litter in dead_stagings(real.parent, _KIND):
                _clear(litter)
            if real.is_dir():
                clear_litter(real)
            found = package_in(folder)[1]
            if not isinstance(over, EllipsisType) and _manifest(found) != _manifest(over):
                raise CannotWriteError(f"{folder}: another run wrote a package here meanwhile; build again")
            staging = new_staging(real.parent, _KIND)
            try:
                kept = _replace(real, staging, files, found)
            finally:
                is_clear = _clear(staging)
            return Written(tuple(kept), "" if is_clear else str(staging))
    except OSError as error:
        raise CannotWriteError(f"{folder}: {error.strerror or error}") from error


def _manifest(listed: Listed | None) -> bytes:
    return listed.manifest if listed is not None else b""


@contextmanager
def _parents(parent: Path) -> Iterator[None]:
    """Make the folders above the package; those that were made go again when the package could not be written."""
    made = [path for path in (parent, *parent.parents) if not path.exists()]
    try:
        parent.mkdir(parents=True, exist_ok=True)
        yield
    finally:
        for path in made:
            with suppress(OSError):  # one that holds something by now stays
                path.rmdir()


def _replace(folder: Path, staging: Path, files: Mapping[str, bytes], found: Listed | None) -> list[tuple[str, str]]:
    tree = staging / _NEW / folder.name
    tree.mkdir(parents=True)
    (staging / f"{_TREE}{tree.lstat().st_ino}").touch()
    for name in sorted(files, key=lambda name: (name == MANIFEST, name)):
        path = tree / name
        path.parent.mkdir(parents=True, exist_ok=True)
        write_new_file(path, files[name])
    kept = []
    if folder.exists():
        kept = carry(folder, tree, found)
        shutil.copystat(folder, tree)
    _put_in_place(tree, folder, staging / _ASIDE / folder.name)
    return kept


def _put_in_place(tree: Path, folder: Path, aside: Path) -> None:
    """Exchange the folders; where that is not known, rename twice, and the next run puts back what was set aside."""
    if not folder.exists():
        tree.rename(folder)
    elif not exchange(tree, folder):
        aside.parent.mkdir()
        folder.rename(aside)
        try:
            tree.rename(folder)
        except OSError:
            aside.rename(folder)
            raise


def _clear(staging: Path) -> bool:
    """Take a staging folder away, at whatever point its run ended. False where something in it cannot go; nothing is lost then."""
    try:
        for aside in _inside(staging / _ASIDE):
            _end_aside(aside, staging.parent / aside.name)
        for tree in _inside(staging / _NEW):
            if (staging / f"{_TREE}{tree.lstat().st_ino}").exists():
                discard(tree)  # it never took its place
            else:
                empty_old(tree, staging.parent / tree.name)
        for path in _inside(staging):
            if path.name in (_NEW, _ASIDE):
                path.rmdir()
            elif path.name.startswith(_TREE):
                path.unlink()
        end_staging(staging, _KIND)
    except OSError:
        return False
    return True


def _end_aside(aside: Path, place: Path) -> None:
    """Put a package back that was set aside and not replaced, else empty it."""
    if place.exists():
        empty_old(aside, place)
    else:
        aside.rename(place)


def _inside(folder: Path) -> list[Path]:
    return list(folder.iterdir()) if folder.is_dir() else []
