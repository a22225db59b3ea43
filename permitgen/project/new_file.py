"""Creates a file that nobody may change afterwards: whole or not at all, and never in place of another."""

from __future__ import annotations

import errno
import os
from pathlib import Path

_NO_LINKS = frozenset({errno.EPERM, errno.EOPNOTSUPP, errno.ENOSYS, errno.EMLINK})


def create_file(path: Path, content: bytes) -> bool:
    """Create ``path`` with ``content``; False where a file of that name is there already, which stays as it is.

    Raises:
        OSError: the folder cannot be written, or the disk is full; nothing is left behind.
    """
    fresh = path.with_name(f".{path.name}.{os.getpid()}.new")
    fresh.unlink(missing_ok=True)  # left by a process of the same number that was killed
    handle = os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        return _put(fresh, path)
    finally:
        fresh.unlink(missing_ok=True)


def _put(fresh: Path, path: Path) -> bool:
    """Give the finished file its name. A second name is refused where it exists, which replacing is not."""
    try:
        path.hardlink_to(fresh)
    except FileExistsError:
        return False
    except OSError as error:
        if error.errno not in _NO_LINKS:
            raise
        return _put_without_links(fresh, path)
    return True


def _put_without_links(fresh: Path, path: Path) -> bool:
    """As ``_put`` on a file system without hard links: the name is taken first, then filled at once."""
    try:
        os.close(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666))
    except FileExistsError:
        return False
    fresh.replace(path)
    return True
