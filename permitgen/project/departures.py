"""The state that was built: the project file with every departure of ``built:`` laid over what was permitted."""

from __future__ import annotations

import re
from copy import deepcopy
from dataclasses import replace
from typing import Any

from permitgen.project.load import LoadedProject, build_project
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.positions import Path, Positions
from permitgen.reading.problems import Problem, ProblemsError
from permitgen.reading.reader import ReadFile

NOT_BUILT = "not built"
"""Written as the built value where the permitted thing was left out."""

_WITH_POLES = re.compile(r"([1-4]P) .+")
_ENTRY_DEPTH = 2


def as_built(loaded: LoadedProject) -> LoadedProject:
    """Return the project as built; without departures, the project itself.

    A later departure at the same path stands over an earlier one.

    Raises:
        ProblemsError: a departure names a key that does not exist, or a value that cannot stand there; placed at the departure.
    """
    built = loaded.models.built
    if built is None or not built.departures:
        return loaded
    overlay = _Overlay(loaded.file)
    for index, departure in enumerate(built.departures):
        overlay.apply(index, departure.path, departure.to)
    if overlay.problems:
        raise ProblemsError(overlay.problems)
    found = build_project(overlay.file(), loaded.folder, edition=str(loaded.system.jurisdiction.edition))
    return replace(found, system=replace(found.system, built=loaded.system.built))


class _Overlay:
    """A copy of the file's data and positions that departures are laid over."""

    def __init__(self, file: ReadFile) -> None:
        self._original = file
        self._data: dict[str, Any] = deepcopy(file.data)
        self._values = dict(file.positions.values)
        self._keys = dict(file.positions.keys)
        self.problems: list[Problem] = []

    def file(self) -> ReadFile:
        """Return the file as it would read if it said what was built."""
        return replace(self._original, data=self._data, positions=Positions(self._values, self._keys))

    def apply(self, index: int, path: str, value: Any) -> None:
        """Lay one departure over the data; what is wrong with it is added to ``problems``."""
        steps = path.split(".")
        self._lift_from_catalog(steps)
        holder = self._holder(index, steps)
        if holder is None:
            return
        if value == NOT_BUILT:
            self._leave_out(index, holder, steps)
            return
        self._set(holder, steps[-1], value)
        self._place(tuple(self._real(steps)), ("built", "departures", index, "to"))

    def _lift_from_catalog(self, steps: list[str]) -> None:
        """Copy what an equipment entry takes from its catalog entry into it, so that one key of it can change."""
        if steps[0] != "equipment" or len(steps) <= _ENTRY_DEPTH:
            return
        entry = self._data.get("equipment", {}).get(steps[1])
        name = entry.get("catalog") if isinstance(entry, dict) else None
        catalog = self._data.get("catalog", {}).get(name) if isinstance(name, str) else None
        if not isinstance(entry, dict) or not isinstance(catalog, dict) or steps[2] in entry or steps[2] not in catalog:
            return
        entry[steps[2]] = deepcopy(catalog[steps[2]])
        source: Path = ("catalog", str(name), steps[2])
        for table in (self._values, self._keys):
            for path in [p for p in table if p[: len(source)] == source]:
                table[("equipment", steps[1], *path[2:])] = table[path]

    def _holder(self, index: int, steps: list[str]) -> Any:
        found: Any = self._data
        for depth, step in enumerate(steps[:-1]):
            below = self._step(found, step)
            if below is None and depth + 1 < _ENTRY_DEPTH + 1 and not (depth == 0 and step in self._data):
                self._unknown(index, steps[: depth + 1], found)
                return None
            if below is None:
                below = {}
                self._set(found, step, below)
            if isinstance(below, str):
                return self._short_form(index, found, step, steps, depth)
            found = below
        return found

    def _short_form(self, index: int, holder: Any, step: str, steps: list[str], depth: int) -> Any:
        """A device written ``2P 60 A`` has its rating changed by making it a mapping first."""
        poles = _WITH_POLES.fullmatch(str(holder[step]))
        if steps[depth + 1 :] == ["rating"]:
            long_form: dict[str, Any] = {"rating": str(holder[step])} | ({"poles": poles[1][0]} if poles is not None else {})
            holder[step] = long_form
            return long_form
        at = ".".join(steps[: depth + 1])
        self._problem(index, f"{at} is a single value in the file; name {at} and give the whole of it")
        return None

    def _leave_out(self, index: int, holder: Any, steps: list[str]) -> None:
        if isinstance(holder, dict) and steps[-1] in holder:
            del holder[steps[-1]]
        else:
            self._unknown(index, steps, holder)

    def _step(self, holder: Any, step: str) -> Any:
        if isinstance(holder, list):
            return holder[int(step)] if step.isdecimal() and int(step) < len(holder) else None
        return holder.get(step) if isinstance(holder, dict) else None

    def _set(self, holder: Any, step: str, value: Any) -> None:
        if isinstance(holder, list) and step.isdecimal() and int(step) < len(holder):
            holder[int(step)] = value
        elif isinstance(holder, dict):
            holder[step] = value

    def _real(self, steps: list[str]) -> list[str | int]:
        """Return the steps as the file's own path: indexes of lists are numbers."""
        found: Any = self._data
        path: list[str | int] = []
        for step in steps:
            path.append(int(step) if isinstance(found, list) and step.isdecimal() else step)
            found = self._step(found, step)
        return path

    def _place(self, path: Path, source: Path) -> None:
        """Everything below ``path`` now stands where the departure says it."""
        for table, other in ((self._values, self._original.positions.values), (self._keys, self._original.positions.keys)):
            for old in [p for p in table if p[: len(path)] == path]:
                del table[old]
            for place, at in other.items():
                if place[: len(source)] == source:
                    table[(*path, *place[len(source) :])] = at

    def _unknown(self, index: int, steps: list[str], holder: Any) -> None:
        known = [str(key) for key in holder] if isinstance(holder, dict) else []
        where = f" under {'.'.join(steps[:-1])}" if len(steps) > 1 else ""
        self._problem(index, f'there is no "{steps[-1]}"{where}{did_you_mean(steps[-1], known)}')

    def _problem(self, index: int, message: str) -> None:
        self.problems.append(self._original.problem(("built", "departures", index, "path"), message))
