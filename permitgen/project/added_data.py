"""A copy of a file's data to which things are added that another place of the file says, each with the place of its word."""

from __future__ import annotations

from copy import deepcopy
from dataclasses import replace
from typing import Any

from permitgen.reading.positions import Path, Place, Positions, repeat_below
from permitgen.reading.problems import Problem
from permitgen.reading.reader import ReadFile


def mapping(value: Any) -> dict[str, Any]:
    """Return a mapping of the file, an empty one where something else stands."""
    return value if isinstance(value, dict) else {}


class AddedData:
    """A copy of the data and positions of a file; ``problems`` is what is wrong with what was to be added."""

    def __init__(self, file: ReadFile) -> None:
        self.original = file
        self._data: dict[str, Any] = deepcopy(file.data)
        self._values = dict(file.positions.values)
        self._keys = dict(file.positions.keys)
        self._files = dict(file.positions.files)
        self.problems: list[Problem] = []

    def file(self) -> ReadFile:
        """Return the file with what was added."""
        return replace(self.original, data=self._data, positions=Positions(self._values, self._keys, self._files))

    def section(self, name: str) -> dict[str, Any]:
        """Return a section of the file, empty where it has none."""
        return mapping(self._data.get(name))

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

    def lift(self, tag: str, key: str) -> None:
        """Copy a key of the catalog entry into the equipment entry, so that a part of it can be said there."""
        entry = self._data["equipment"][tag]
        catalog = mapping(self.section("catalog").get(str(entry.get("catalog"))))
        if key in entry or key not in catalog:
            return
        entry[key] = deepcopy(catalog[key])
        source: Path = ("catalog", entry["catalog"], key)
        target: Path = ("equipment", tag, key)
        repeat_below(self._values, source, target)
        repeat_below(self._keys, source, target)
        repeat_below(self._files, source, target)

    def at(self, path: Path) -> Any:
        """Return the value at a path, None where there is none."""
        found: Any = self._data
        for step in path:
            found = found.get(step) if isinstance(found, dict) else None
        return found
