"""A copy of a file to which something is added, or over which something is laid: data, and where each value stands."""

from __future__ import annotations

from copy import deepcopy
from dataclasses import replace
from typing import Any

from permitgen.reading.positions import Path, Positions, repeat_below
from permitgen.reading.reader import ReadFile


def mapping(value: Any) -> dict[str, Any]:
    """Return a mapping of the file, an empty one where something else stands."""
    return value if isinstance(value, dict) else {}


class CopiedFile:
    """A copy of the data and positions of ``original``, which stays as it is."""

    def __init__(self, file: ReadFile) -> None:
        self.original = file
        self._data: dict[str, Any] = deepcopy(file.data)
        self._values = dict(file.positions.values)
        self._keys = dict(file.positions.keys)
        self._files = dict(file.positions.files)

    def file(self) -> ReadFile:
        """Return the file as it reads after the change."""
        return replace(self.original, data=self._data, positions=Positions(self._values, self._keys, self._files))

    def section(self, name: str) -> dict[str, Any]:
        """Return a section of the file, empty where it has none."""
        return mapping(self._data.get(name))

    def lift(self, tag: str, key: str) -> None:
        """Copy a key of its catalog entry into an equipment entry, so that a part of it can be said there."""
        entry = mapping(self.section("equipment").get(tag))
        name = entry.get("catalog")
        catalog = mapping(self.section("catalog").get(name)) if isinstance(name, str) else {}
        if key in entry or key not in catalog:
            return
        entry[key] = deepcopy(catalog[key])
        source, target = ("catalog", str(name), key), ("equipment", tag, key)
        self._repeat_places(Positions(self._values, self._keys), source, target)
        repeat_below(self._files, source, self._files, target)

    def take_away(self, target: Path) -> None:
        """Take what stands at ``target`` out of the copy, with its places."""
        holder: Any = self._data
        for step in target[:-1]:
            holder = holder[step]
        del holder[target[-1]]
        for table in (self._values, self._keys, self._files):
            for path in [path for path in table if path[: len(target)] == target]:
                del table[path]

    def _repeat_places(self, told: Positions, source: Path, target: Path) -> None:
        """Let everything at and below ``target`` stand where ``told`` has the same below ``source``."""
        repeat_below(told.values, source, self._values, target)
        repeat_below(told.keys, source, self._keys, target)
