"""Finds the files a user may change: ``templates/`` and ``label_specs/``, as shipped or as a project has its own.

An installed program keeps them under ``permitgen/_data``; in a checkout they lie beside the package.
"""

from __future__ import annotations

from importlib import resources
from pathlib import Path
from typing import Literal

FolderName = Literal["templates", "label_specs"]


def shipped_folder(name: FolderName) -> Path:
    """Return the folder of this name that comes with the program.

    Raises FileNotFoundError when the program was installed without it.
    """
    package = Path(str(resources.files("permitgen")))
    for folder in (package / "_data" / name, package.parent / name):
        if folder.is_dir():
            return folder
    raise FileNotFoundError(f'the program was installed without its folder "{name}"; install it again')


def resource_path(folder: FolderName, file: str, project_folder: Path | None = None) -> Path:
    """Return a file of one of the folders, the project's own where it has one of that name.

    Raises FileNotFoundError when neither the project nor the program has it.
    """
    own = project_folder / folder / file if project_folder is not None else None
    if own is not None and own.is_file():
        return own
    shipped = shipped_folder(folder) / file
    if not shipped.is_file():
        raise FileNotFoundError(f'there is no "{folder}/{file}" in the program')
    return shipped


def template_path(file: str, project_folder: Path | None = None) -> Path:
    """Return a document template, the project's own from ``templates/`` beside the project file where it has one."""
    return resource_path("templates", file, project_folder)
