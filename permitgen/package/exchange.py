"""Exchanges two folders in one step, where the operating system can."""

from __future__ import annotations

import ctypes
import errno
import os
import sys
from pathlib import Path

_AT_FDCWD, _RENAME_EXCHANGE = -100, 2  # Linux, linux/fcntl.h and linux/fs.h: renameat2(2)
_RENAME_SWAP = 2  # macOS, sys/stdio.h: renamex_np(2)
_CANNOT = (errno.ENOSYS, errno.EINVAL, errno.ENOTSUP, errno.EOPNOTSUPP)


def exchange(one: Path, other: Path) -> bool:
    """Exchange two folders of one file system: at no moment is there none under either name. False where system or disk cannot.

    Raises:
        OSError: the system can and refuses.
    """
    sys.audit("permitgen.exchange", str(one), str(other))
    names = os.fsencode(one), os.fsencode(other)
    try:
        library = ctypes.CDLL(None, use_errno=True)
        if sys.platform == "linux":
            failed = library.renameat2(_AT_FDCWD, names[0], _AT_FDCWD, names[1], _RENAME_EXCHANGE)
        elif sys.platform == "darwin":
            failed = library.renamex_np(*names, _RENAME_SWAP)
        else:
            return False
    except (OSError, AttributeError, TypeError):  # no such function in this system's library
        return False
    if not failed:
        return True
    number = ctypes.get_errno()
    if number in _CANNOT:
        return False
    raise OSError(number, os.strerror(number), str(other))
