"""Keeps what was typed on a terminal in a file of answers, until the project file is written."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from collections.abc import Mapping

    from permitgen.project.starting.new_project import Given

_HEAD = '# Answers typed for "permitgen new", which has not written a project file of them yet.'


class KeptAnswers:
    """A file beside the folder of the project; it is written with each answer, so that a closed window loses none.

    ``taken_up`` is the file of answers from which the questions start; where it is such a file, it is written on.
    """

    def __init__(self, folder: Path, taken_up: Path | None) -> None:
        self._folder = folder
        self._taken_up = taken_up
        self._path = self._free_path()
        self._is_kept = False

    def keep(self, found: Mapping[str, Given]) -> None:
        """Write the answers given so far."""
        from permitgen.cli.writing import write_or_exit
        from permitgen.project.starting.file_text import flow, scalar

        lines = [_HEAD, *(f"{scalar(key)}: {flow(given.value)}" for key, given in found.items())]
        self._path.parent.mkdir(parents=True, exist_ok=True)
        write_or_exit(self._path, ("\n".join(lines) + "\n").encode())
        self._is_kept = True

    def tell(self) -> None:
        """Say where the answers are kept and how they are taken up again."""
        if self._is_kept:
            click.echo(f"\nyour answers are kept in {self._path}; to go on: permitgen new {self._folder} --answers {self._path}", err=True)

    def forget(self) -> None:
        """Remove the file, as the project file holds what it said; one from which the questions started stays."""
        if self._is_kept and self._path != self._taken_up:
            self._path.unlink(missing_ok=True)
        self._is_kept = False

    def _free_path(self) -> Path:
        if self._taken_up is not None and _is_kept_file(self._taken_up):
            return self._taken_up
        name = self._folder.name or self._folder.resolve().name
        names = (f"{name}.answers{number}.yaml" for number in ("", *(f"-{count}" for count in range(2, 1000))))
        return next(path for path in (self._folder.parent / each for each in names) if not path.exists() and not path.is_symlink())


def _is_kept_file(path: Path) -> bool:
    return path.is_file() and path.read_bytes().startswith(_HEAD.encode())
