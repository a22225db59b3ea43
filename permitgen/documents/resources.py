"""Finds the files a user may change: ``templates/`` and ``label_specs/``, as shipped or as a project has its own.

An installed program keeps them under ``permitgen/_data``; in a checkout they lie beside the package.
"""

from __future__ import annotations

import os
import re
from importlib import resources
from pathlib import Path
from typing import Literal

from permitgen.reading.characters import UndecodableError, decode
from permitgen.reading.problems import quoted
from permitgen.reading.regular_file import UnreadableFileError, content_of

FolderName = Literal["templates", "label_specs"]
LARGEST_BYTES = 2_000_000
_LONGEST_NAME = 100
_PLAIN_NAME = re.compile(r"(?:[A-Za-z0-9_-][A-Za-z0-9_. -]*/)*[A-Za-z0-9_-][A-Za-z0-9_. -]*")


def shipped_folder(name: FolderName) -> Path:
    """Return the folder of this name that comes with the program.

    Raises FileNotFoundError when the program was installed without it.
    """
    package = Path(str(resources.files("permitgen")))
    for folder in (package / "_data" / name, package.parent / name):
        if folder.is_dir():
            return folder
    raise FileNotFoundError(f'the program was installed without its folder "{name}"; install it again')


class ResourceError(ValueError):
    """A file of one of the folders cannot be used; the message says which and why."""


def resource_path(folder: FolderName, file: str, project_folder: Path | None = None) -> Path:
    """Return a file of one of the folders, the project's own where it has one of that name. Nothing outside of both is found.

    Raises:
        ResourceError: the name is not a plain one, leads out of the folder, or neither the project nor the program has it.
    """
    if len(file) > _LONGEST_NAME or _PLAIN_NAME.fullmatch(file) is None:
        raise ResourceError(f'{quoted(file)} is not the plain name of a file in "{folder}"; nothing outside of that folder is read')
    if project_folder is not None and os.path.lexists(project_folder / folder / file):
        return _own_file(project_folder, folder, file)
    shipped = shipped_folder(folder) / file
    if not shipped.is_file():
        raise ResourceError(f'there is no "{folder}/{file}", neither beside the project file nor in the program')
    return shipped


def has_own(folder: FolderName, project_folder: Path | None) -> bool:
    """Whether a project has a folder of this name, whose files stand in for those of the program."""
    return project_folder is not None and os.path.lexists(project_folder / folder)


def _own_file(project_folder: Path, folder: FolderName, file: str) -> Path:
    try:
        inside = project_folder.resolve(strict=True)
        found = (inside / folder / file).resolve()
    except (OSError, RuntimeError) as error:  # RuntimeError: a loop of links, before Python 3.13
        raise ResourceError(f'"{folder}/{file}" cannot be followed') from error
    if not found.is_relative_to(inside / folder):
        raise ResourceError(f'"{folder}/{file}" leads out of that folder through a link; copy the file into it')
    return found


def resource_text(path: Path) -> str:
    """Return the text of a file of one of the folders.

    Raises:
        ResourceError: it is a folder, a pipe or a device, cannot be read, is too large, or is not text in UTF-8.
    """
    try:
        return decode(content_of(path, LARGEST_BYTES))
    except (UnreadableFileError, UndecodableError) as error:
        raise ResourceError(f'"{path.parent.name}/{path.name}": {error}') from error


def template_path(file: str, project_folder: Path | None = None) -> Path:
    """Return a document template, the project's own from ``templates/`` beside the project file where it has one.

    Raises:
        ResourceError: as ``resource_path``.
    """
    return resource_path("templates", file, project_folder)
