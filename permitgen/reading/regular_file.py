"""The bytes of a file that somebody names: never a pipe or a device, which wait or never end, and never more than a limit."""

from __future__ import annotations

import os
import stat
from pathlib import Path

# Opening a pipe without this flag waits for somebody to write into it. Windows has no such pipes and no such flag.
_AT_ONCE = getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOCTTY", 0) | getattr(os, "O_BINARY", 0) | getattr(os, "O_CLOEXEC", 0)


class UnreadableFileError(ValueError):
    """A file that cannot be read; the message says why, without its name."""


class NoSuchFileError(UnreadableFileError):
    """Nothing of that name is there."""


def content_of(path: Path, most: int) -> bytes:
    """Return the bytes of the regular file ``path``, at most ``most`` of them.

    Raises:
        UnreadableFileError: it is missing, a folder, a pipe, a socket or a device, cannot be read, or is larger.
    """
    try:
        _refuse_other_kinds(path.stat().st_mode)  # before it is opened: opening a device may already do something
        with os.fdopen(os.open(path, os.O_RDONLY | _AT_ONCE), "rb") as stream:
            _refuse_other_kinds(os.fstat(stream.fileno()).st_mode)
            content = stream.read(most + 1)
    except FileNotFoundError as error:
        raise NoSuchFileError("there is no such file") from error
    except OSError as error:
        raise UnreadableFileError(f"the file cannot be read ({(error.strerror or 'input error').lower()})") from error
    if len(content) > most:
        raise UnreadableFileError(f"the file is larger than {size_text(most)}, the most that is read")
    return content


def size_text(count: int) -> str:
    """Return a number of bytes as messages print it."""
    return f"{count // 1_000_000} MB" if count >= 10_000_000 else f"{count // 1000} kB"


def _refuse_other_kinds(mode: int) -> None:
    if stat.S_ISDIR(mode):
        raise UnreadableFileError("this is a folder; a file was expected")
    if not stat.S_ISREG(mode):
        raise UnreadableFileError("this is a pipe, a socket or a device; a plain file was expected")
