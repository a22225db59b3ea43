"""Writes one file whole or not at all: a full disk or a killed run leaves the older file of that name as it was."""

from __future__ import annotations

import errno
import os
import stat
from contextlib import suppress
from pathlib import Path

from permitgen.project.staging import dead_stagings, end_staging, locked, new_staging, write_new_file

_KIND, _FRESH = "file", "fresh"


def write_file_whole(path: Path, content: bytes, *, is_secret: bool = False, is_new: bool = False) -> None:
    """Write ``content`` to ``path`` in place of an older file of that name, whose permissions stay; a link is followed.

    ``is_secret`` gives a new file to its owner alone; ``is_new`` refuses to replace a file.

    Raises:
        FileExistsError: there is a file, with ``is_new``.
        OSError: the place holds something that is not a file, or the disk refuses; the older file is then as it was.
    """
    place = _place(path)
    with locked(place.parent):
        _clear_litter(place.parent)
        mode = _mode_of(place, path)
        if is_new and (mode is not None or path.is_symlink()):
            raise FileExistsError(errno.EEXIST, "is there already; name a new file", str(path))
        staging = new_staging(place.parent, _KIND)
        try:
            write_new_file(staging / _FRESH, content, 0o600 if is_secret else 0o666)
            if mode is not None:
                (staging / _FRESH).chmod(mode)
            (staging / _FRESH).replace(place)
        finally:
            _clear(staging)


def clear_litter(folder: Path) -> None:
    """Take away what a run that was killed while it wrote a file into ``folder`` left there.

    Raises:
        OSError: the folder cannot be read, or a run is writing into it.
    """
    with locked(folder):
        _clear_litter(folder)


def _clear_litter(folder: Path) -> None:
    for litter in dead_stagings(folder, _KIND):
        _clear(litter)


def _place(path: Path) -> Path:
    try:
        return path.resolve()
    except RuntimeError as error:  # a loop of links, before Python 3.13
        raise OSError(errno.ELOOP, os.strerror(errno.ELOOP), str(path)) from error


def _mode_of(place: Path, path: Path) -> int | None:
    """Return the permissions of the older file, None where there is none."""
    try:
        found = place.stat().st_mode
    except FileNotFoundError:
        return None
    if stat.S_ISDIR(found):
        raise IsADirectoryError(errno.EISDIR, "is a folder; name a file", str(path))
    if not stat.S_ISREG(found):  # replacing a device or a pipe would take it away
        raise OSError(errno.EINVAL, "is not an ordinary file; name another", str(path))
    if not os.access(place, os.W_OK):
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), str(path))
    return stat.S_IMODE(found)


def _clear(staging: Path) -> None:
    """Take a staging folder away; what cannot go now goes with the next file written here."""
    with suppress(OSError):
        (staging / _FRESH).unlink(missing_ok=True)
        end_staging(staging, _KIND)
