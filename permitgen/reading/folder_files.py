"""The files of a folder beside the project file: templates and label specifications, each inside the project folder and of a usual size."""

from __future__ import annotations

import os
from pathlib import Path

from permitgen.reading.problems import Problem, ProblemsError
from permitgen.reading.referenced_file import ReferencedFileError, content_inside

MOST_FILES = 300
_LARGEST_BYTES = 2_000_000


def files_below(project_folder: Path, name: str, ending: str = "") -> dict[str, bytes]:
    """Return the bytes of every file below the folder ``name``, by its path in the project folder; hidden ones are left out.

    ``ending`` is how the names of the files end that are wanted, empty for all.

    Raises:
        ProblemsError: a file that is no plain one, leads out through a link or is too large, or too many files.
    """
    found: dict[str, bytes] = {}
    problems: list[Problem] = []
    for path in _paths(project_folder, name):
        if not path.endswith(ending):
            continue
        if len(found) == MOST_FILES:
            problems.append(Problem(name, 1, 1, "", f"the folder holds more than {MOST_FILES} files, the most that are read"))
            break
        try:
            found[path] = content_inside(project_folder, path, _LARGEST_BYTES)
        except ReferencedFileError as error:
            problems.append(Problem(path, 1, 1, "", str(error)))
    if problems:
        raise ProblemsError(problems)
    return found


def _paths(project_folder: Path, name: str) -> list[str]:
    # The walk ends long before a folder of another kind, taken for this one, has been gone through.
    paths: list[str] = []
    for folder, inner, files in os.walk(project_folder / name):
        inner[:] = [one for one in inner if not one.startswith(".")]
        links = [one for one in inner if (Path(folder) / one).is_symlink()]
        paths += [(Path(folder) / file).relative_to(project_folder).as_posix() for file in (*files, *links) if not file.startswith(".")]
        if len(paths) > 10 * MOST_FILES:
            break
    return sorted(paths)
