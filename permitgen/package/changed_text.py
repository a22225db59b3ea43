"""A file of the user that is changed as text on request: shown as a difference first, and replaced only while it is what was shown."""

from __future__ import annotations

import difflib
from codecs import BOM_UTF8
from pathlib import Path

from permitgen.project.whole_file import write_file_whole
from permitgen.reading.characters import decode
from permitgen.reading.problems import Problem, ProblemsError
from permitgen.reading.reader import LARGEST_BYTES, file_content


def difference_of(before: str, after: str, file: str, change: str) -> str:
    """Return the unified difference of two texts of a file; ``change`` says what the later one has, empty where they are the same."""
    lines = before.splitlines(keepends=True), after.splitlines(keepends=True)
    return "".join(line if line.endswith("\n") else f"{line}\n" for line in difflib.unified_diff(*lines, file, f"{file} {change}"))


def write_changed(path: Path, file: str, before: str, after: str, meanwhile: str) -> None:
    """Write a file in place of the one that was shown; ``meanwhile`` says while what it must not have changed.

    Raises:
        ProblemsError: the file was changed meanwhile.
        OSError: it cannot be written; it is then as it was.
    """
    content = file_content(path, LARGEST_BYTES)
    if decode(content) != before:
        raise ProblemsError([Problem(file, 1, 1, "", f"the file was changed while {meanwhile}; take them in again")])
    mark = BOM_UTF8 if content.startswith(BOM_UTF8) else b""
    write_file_whole(path, mark + after.encode("utf-8"))
