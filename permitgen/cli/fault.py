"""What a fault of the program leaves: one message and a report to hand on, never a traceback on the terminal."""

from __future__ import annotations

import hashlib
import platform
import sys
import tempfile
import traceback
from collections.abc import Sequence
from pathlib import Path

from permitgen import __version__


def report_fault(error: BaseException, arguments: Sequence[str]) -> str:
    """Write a report of ``error`` and return the message that names it.

    The report goes into the current folder, or the temporary one where that cannot be written; it holds version, command and traceback,
    neither variables nor environment. Its name comes from its content: the same fault twice is one file.
    """
    content = _content(error, arguments).encode("utf-8", "backslashreplace")
    name = f"permitgen-fault-{hashlib.sha256(content).hexdigest()[:8]}.txt"
    for folder in ("", tempfile.gettempdir()):
        path = Path(folder) / name
        try:
            with path.open("xb") as file:  # never through a link that somebody laid there
                file.write(content)
        except FileExistsError:
            pass
        except OSError:
            continue
        return f"a fault of permitgen, not of your files; please hand on the report {path}"
    return f"a fault of permitgen, not of your files; no report could be written: {type(error).__name__}: {error}".replace("\n", " ")


def _content(error: BaseException, arguments: Sequence[str]) -> str:
    lines = [
        f"permitgen {__version__}",
        f"Python {sys.version.split()[0]}, {platform.system()}",
        f"command: permitgen {' '.join(repr(argument) for argument in arguments)}",
        "",
        *traceback.format_exception(error),
    ]
    return "\n".join(line.rstrip("\n") for line in lines) + "\n"
