"""A copy of a file's data to which things are added that another place of the file says, each with the place of its word."""

from __future__ import annotations

from typing import Any

from permitgen.project.copied_file import CopiedFile
from permitgen.reading.positions import Path, Place, Positions
from permitgen.reading.problems import Problem
from permitgen.reading.reader import ReadFile


class AddedData(CopiedFile):
    """A copy of the data and positions of a file; ``problems`` is what is wrong with what was to be added."""

    def __init__(self, file: ReadFile) -> None:
        super().__init__(file)
        self.problems: list[Problem] = []

    def refuse(self, where: str, place: Place, message: str) -> None:
        """Keep a problem."""
        self.problems.append(Problem(self.original.file, *place, where, message))

    def place_of(self, path: Path) -> Place:
        """Return where a key stands."""
        return Positions(self._values, self._keys).of_key(path)

    def put(self, path: Path, value: Any, place: Place) -> None:
        """Set a value, and let it and what was not there above it stand at ``place``."""
        holder: Any = self._data
        for depth, step in enumerate(path[:-1], start=1):
            if isinstance(holder, dict) and step not in holder:
                holder[step] = {}
                self._stands(path[:depth], place)
            holder = holder[step]
        if isinstance(holder, list):
            holder.append(value)
        else:
            holder[path[-1]] = value
        self._stands(path, place)

    def _stands(self, path: Path, place: Place) -> None:
        self._values[path] = self._keys[path] = place

    def at(self, path: Path) -> Any:
        """Return the value at a path, None where there is none."""
        found: Any = self._data
        for step in path:
            found = found.get(step) if isinstance(found, dict) else None
        return found
