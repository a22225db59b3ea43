"""A place of our own beside what is to be replaced, and a lock that dies with its process.

Whatever replaces something of the user is made whole in a new folder ``.permitgen-<random>`` beside it, then moved by one call of the
operating system. The random name is created exclusively, so it cannot be a name the user has; an empty marker file in it (created in
one call, never half there) tells litter of a killed run from a stranger's folder. Litter is cleaned only under the lock of the folder
it lies in: who made it held that lock, so under it the maker is dead.
"""

from __future__ import annotations

import errno
import hashlib
import os
import re
import secrets
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

LOCK_WAIT_S, _PAUSE_S = 10.0, 0.05
_NAME = re.compile(r"\.permitgen-[0-9a-f]{12}")
_MARKER = "made-by-permitgen-"
_BUSY = (errno.EACCES, errno.EAGAIN, errno.EDEADLK)
_HELD: set[str] = set()


class LockedError(OSError):
    """Another run writes in the same folder and did not end while we waited."""


@contextmanager
def locked(folder: Path) -> Iterator[None]:
    """Hold the lock of ``folder`` against other runs; the system lets go of it when the process ends, however it ends.

    A run that holds it already keeps it. The folder itself is locked, which leaves no file behind; where a system cannot lock
    folders, a file in the temporary folder is.

    Raises:
        LockedError: another run held it for ``LOCK_WAIT_S`` seconds.
        OSError: there is nothing to lock.
    """
    place = str(folder.resolve())
    if place in _HELD:
        yield
        return
    handle = _handle(folder)
    try:
        for left in range(round(LOCK_WAIT_S / _PAUSE_S), -1, -1):
            if _try_lock(handle):
                break
            if not left:
                raise LockedError(errno.EAGAIN, "another run of permitgen is writing here; try again when it has ended")
            time.sleep(_PAUSE_S)
        _HELD.add(place)
        yield
    finally:
        _HELD.discard(place)
        os.close(handle)


def _handle(folder: Path) -> int:
    if sys.platform != "win32":
        handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
        try:
            fcntl.flock(handle, fcntl.LOCK_SH | fcntl.LOCK_NB)
        except OSError as error:
            if error.errno in _BUSY:
                return handle
            os.close(handle)  # a network file system that locks only what is open for writing
        else:
            fcntl.flock(handle, fcntl.LOCK_UN)
            return handle
    user = os.getuid() if sys.platform != "win32" else ""
    key = hashlib.sha256(os.fsencode(folder.resolve())).hexdigest()[:16]
    flags = os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0)
    return os.open(Path(tempfile.gettempdir()) / f"permitgen-{user}-{key}.lock", flags, 0o600)


def _try_lock(handle: int) -> bool:
    try:
        if sys.platform == "win32":
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        else:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        if error.errno in _BUSY:
            return False
        raise
    return True


def new_staging(parent: Path, kind: str) -> Path:
    """Make and return a staging folder in ``parent``; call it under the lock of ``parent``.

    Raises:
        OSError: the folder cannot be written.
    """
    staging = parent / f".permitgen-{secrets.token_hex(6)}"
    staging.mkdir(mode=0o700)
    try:
        (staging / f"{_MARKER}{kind}").touch(exist_ok=False)
    except OSError:
        staging.rmdir()
        raise
    return staging


def dead_stagings(parent: Path, kind: str) -> tuple[Path, ...]:
    """Return the staging folders of a kind that killed runs of this user left in ``parent``; empty ones go at once.

    Call it under the lock of ``parent``.
    """
    found = []
    for path in sorted(parent.iterdir()):
        if not _NAME.fullmatch(path.name) or path.is_symlink() or not path.is_dir() or not _is_mine(path):
            continue
        if (path / f"{_MARKER}{kind}").is_file():
            found.append(path)
        else:
            with suppress(OSError):  # only an empty folder goes: killed before its marker, or after it
                path.rmdir()
    return tuple(found)


def _is_mine(path: Path) -> bool:
    return sys.platform == "win32" or path.stat().st_uid == os.geteuid()


def end_staging(staging: Path, kind: str) -> None:
    """Take a staging folder away that holds nothing but its marker; the marker goes last.

    Raises:
        OSError: something is in it still; the marker is then there, too.
    """
    others = [path.name for path in staging.iterdir() if path.name != f"{_MARKER}{kind}"]
    if others:
        raise OSError(errno.ENOTEMPTY, f"still holds {others[0]}", str(staging))
    (staging / f"{_MARKER}{kind}").unlink(missing_ok=True)
    staging.rmdir()


def write_new_file(path: Path, content: bytes, mode: int = 0o666) -> None:
    """Write a file that is not there yet, down to the disk.

    Raises:
        OSError: it is there, or the disk refuses; a part of it may be left.
    """
    with open(path, "xb", opener=lambda name, flags: os.open(name, flags, mode)) as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
