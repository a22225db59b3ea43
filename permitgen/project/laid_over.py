"""A file over which parts of other files are laid, each value at its place in the file that says it."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

from permitgen.project.copied_file import CopiedFile
from permitgen.reading.positions import Path, Place, repeat_below
from permitgen.reading.reader import ReadFile


class LaidOver(CopiedFile):
    """A copy of a file's data and positions; what the file says itself is never laid over."""

    def lay(self, other: ReadFile, source: Path, target: Path) -> None:
        """Lay what another file says at ``source`` at ``target``; key by key where both say something there."""
        found: Any = other.data
        for step in source:
            found = found[step]
        holder = self._holder(target)
        if isinstance(found, dict) and isinstance(holder.get(target[-1]), dict):
            for key in found:
                self.lay(other, (*source, key), (*target, key))
        elif target[-1] not in holder:
            holder[target[-1]] = deepcopy(found)
            told = other.positions
            self._repeat_places(told, source, target)
            repeat_below(dict.fromkeys((*told.values, *told.keys), other.file), source, self._files, target)

    def put(self, target: Path, text: str, file: str, place: Place) -> None:
        """Lay one text that stands at a place of another file, unless the file says something there itself."""
        holder = self._holder(target)
        if target[-1] not in holder:
            holder[target[-1]] = text
            self._values[target] = self._keys[target] = place
            self._files[target] = file

    def _holder(self, target: Path) -> dict[Any, Any]:
        found: Any = self._data
        for depth, step in enumerate(target[:-1], start=1):
            below = found.get(step)
            if not isinstance(below, dict):
                below = found[step] = {}
                self._values.setdefault(target[:depth], (1, 1))
            found = below
        holder: dict[Any, Any] = found
        return holder
