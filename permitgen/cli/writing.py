"""Writes the file of a command; a file that cannot be written ends the command with one message and status 3."""

from __future__ import annotations

from pathlib import Path

from permitgen.cli.ending import end
from permitgen.cli.exit_status import CANNOT_WRITE


def write_or_exit(path: Path, content: bytes, *, is_secret: bool = False, is_new: bool = False) -> None:
    """Write a file whole, or print why not on standard error and exit with status 3; an older file of that name is then as it was."""
    from permitgen.project.whole_file import write_file_whole

    try:
        write_file_whole(path, content, is_secret=is_secret, is_new=is_new)
    except OSError as error:
        end(f"{path}: {error.strerror or error}", CANNOT_WRITE)
