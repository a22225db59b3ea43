"""The projects below a folder, and the digest of all that lies in the folder of one: what no digest covers could make a result stale."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterable, Iterator
from pathlib import Path

from permitgen.package.listed import MANIFEST, NotAPackageError, digest_of, listed_in
from permitgen.project.load import PROJECT_FILE_NAME

_GONE = "cannot be read"


def projects_below(folder: Path) -> tuple[str, ...]:
    """Return the path, from ``folder`` and with ``/``, of each file ``project.yaml`` below it, sorted.

    Hidden folders and packages (which hold copies of project files) are left out, and links to folders are not followed.

    Raises:
        OSError: the folder itself cannot be read.
    """
    os.listdir(folder)  # noqa: PTH208 - says why the folder cannot be read; the walk would say that nothing is in it
    return tuple(sorted(path.relative_to(folder).as_posix() for path in _files(folder) if path.name == PROJECT_FILE_NAME))


def _files(folder: Path, besides: Path | None = None) -> Iterator[Path]:
    for place, inner, files in os.walk(folder):
        here = Path(place)
        _leave_out(here, inner, besides)
        yield from (here / name for name in sorted(files))


def files_and_links(folder: Path, besides: Path | None = None) -> Iterator[Path]:
    """Yield what ``digest_of_folder`` counts below a project folder, and the links to folders there, which it does not follow."""
    for place, inner, files in os.walk(folder):
        here = Path(place)
        _leave_out(here, inner, besides)
        yield from (here / name for name in inner if (here / name).is_symlink())
        yield from (here / name for name in sorted(files))


def _leave_out(here: Path, inner: list[str], besides: Path | None) -> None:
    inner[:] = sorted(name for name in inner if not name.startswith(".") and here / name != besides and not _is_package(here / name))


def _is_package(folder: Path) -> bool:
    if not (folder / MANIFEST).is_file():
        return False
    try:
        listed_in(folder)
    except NotAPackageError:
        return False
    return True


def digest_of_folder(folder: Path, further: Iterable[str] = (), besides: Path | None = None) -> str:
    """Return the hex SHA-256 over names and contents of the files below a project folder, packages and hidden folders left out.

    ``further`` are files of the folder that the project names, wherever they lie; ``besides`` is a folder that is no part of it.
    """
    digest = hashlib.sha256()
    paths = {path.relative_to(folder).as_posix() for path in _files(folder, besides)}
    for name in sorted({*paths, *further}):
        digest.update(f"{name}\0{_digest(folder / name)}\n".encode("utf-8", "surrogateescape"))
    return digest.hexdigest()


def files_not_walked(folder: Path, named: Iterable[str], besides: Path | None = None) -> tuple[str, ...]:
    """Return those files that a project names which do not lie among what ``digest_of_folder`` finds by itself."""
    found = {path.relative_to(folder).as_posix() for path in _files(folder, besides)}
    return tuple(sorted(set(named) - found))


def _digest(path: Path) -> str:
    if not path.is_file():  # a pipe, which would never end, or a link that leads nowhere
        return _GONE
    try:
        return digest_of(path)
    except OSError:
        return _GONE
