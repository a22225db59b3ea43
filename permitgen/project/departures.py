"""The state that was built: the project file with every departure of ``built:`` laid over what was permitted."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from permitgen.project.copied_file import CopiedFile
from permitgen.project.directories import Claim, read_directories
from permitgen.project.load import LoadedProject, build_project
from permitgen.project.sections.built import DepartureModel
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.positions import Path, Place
from permitgen.reading.problems import Problem, ProblemsError
from permitgen.reading.reader import ReadFile
from permitgen.system.built_state import Built, Departure
from permitgen.values.origin import ProjectLine

# Who says a departure: its index under ``built: departures:``, or the place where an answer or a settlement stands.
Source = int | ProjectLine

NOT_BUILT = "not built"
"""Written as the built value where the permitted thing was left out."""

_WITH_POLES = re.compile(r"([1-4]P) .+")
_ENTRY_DEPTH = 2


def as_built(loaded: LoadedProject, answered: Sequence[Departure] = ()) -> LoadedProject:
    """Return the project as built; without departures, the project itself. Its ``system.built`` holds every departure.

    ``answered`` are what the field said, oldest first, and settlements. A later departure at the same path stands over an earlier
    one, one that a person wrote in ``built:`` over any answer. An answer whose value cannot stand at its key is kept as not
    readable: what was typed in the field never keeps a project from being read.

    Raises:
        ProblemsError: a departure of ``built:`` names a key that does not exist, or a value that cannot stand there; placed at the
            departure.
    """
    built = loaded.system.built or Built()
    if not answered and not built.departures:
        return loaded
    written = {departure.path for departure in built.departures}
    last = {departure.path: departure for departure in answered}
    standing = [departure for path, departure in last.items() if path not in written]
    try:
        found = _laid_over(loaded, standing)
    except ProblemsError:
        readable = _readable(loaded, standing)
        found = _laid_over(loaded, readable)
        answered = [replace(d, is_readable=d in readable) if d in standing else d for d in answered]
    return replace(found, system=replace(found.system, built=replace(built, departures=(*answered, *built.departures))))


def _readable(loaded: LoadedProject, standing: Sequence[Departure]) -> list[Departure]:
    """Return the departures that can be laid over the project, one after the other."""
    found: list[Departure] = []
    for departure in standing:
        try:
            _laid_over(loaded, [*found, departure])
        except ProblemsError:
            continue
        found.append(departure)
    return found


def _laid_over(loaded: LoadedProject, standing: Sequence[Departure]) -> LoadedProject:
    """Return the project with what the field said, then what ``built:`` says, laid over it."""
    written = list(enumerate(loaded.models.built.departures)) if loaded.models.built is not None else []
    file, claims = _with_directories(loaded, [(index, departure) for index, departure in written if _is_directory(departure.path)])
    overlay = _Overlay(file)
    for departure in standing:
        overlay.apply(departure.path, departure.built, departure.at or ProjectLine(loaded.file.file, 1, 1, departure.path, ""))
    for index, told in written:
        if not _is_directory(told.path):
            overlay.apply(told.path, told.to, index)
    if overlay.problems:
        raise ProblemsError(overlay.problems)
    return build_project(overlay.file(), loaded.folder, edition=str(loaded.system.jurisdiction.edition), claims=claims)


def _is_directory(path: str) -> bool:
    """Whether a path is the whole directory of an enclosure."""
    steps = path.split(".")
    return len(steps) == _ENTRY_DEPTH + 1 and (steps[0], steps[-1]) == ("equipment", "directory")


def _with_directories(loaded: LoadedProject, told: list[tuple[int, DepartureModel]]) -> tuple[ReadFile, tuple[Claim, ...]]:
    """Return the file with whole directories that were built otherwise, read before anything that changes a single device of them.

    What a directory says of a device stands at its circuit once it is read: so the directory that was permitted must not be read at all.
    """
    if not told:
        return loaded.file, ()
    overlay = _Overlay(loaded.written)
    for index, departure in told:
        overlay.apply(departure.path, departure.to, index)
    file, claims, problems = read_directories(overlay.file())
    if overlay.problems or problems:
        raise ProblemsError([*overlay.problems, *problems])
    return file, claims


class _Overlay(CopiedFile):
    """A copy of the file that departures are laid over: it reads as if it said what was built."""

    def __init__(self, file: ReadFile) -> None:
        super().__init__(file)
        self.problems: list[Problem] = []

    def apply(self, path: str, value: Any, source: Source) -> None:
        """Lay one departure over the data; what is wrong with it is added to ``problems``."""
        steps = path.split(".")
        if steps[0] == "equipment" and len(steps) > _ENTRY_DEPTH:
            self.lift(steps[1], steps[2])
        holder = self._holder(source, steps)
        if holder is None:
            return
        if value == NOT_BUILT:
            self._leave_out(source, holder, steps)
            return
        self._set(holder, steps[-1], value)
        self._place(tuple(self._real(steps)), source)

    def _holder(self, source: Source, steps: list[str]) -> Any:
        found: Any = self._data
        for depth, step in enumerate(steps[:-1]):
            below = self._step(found, step)
            if below is None and depth + 1 < _ENTRY_DEPTH + 1 and not (depth == 0 and step in self._data):
                self._unknown(source, steps[: depth + 1], found)
                return None
            if below is None:
                below = {}
                self._set(found, step, below)
            if isinstance(below, str):
                return self._short_form(source, found, step, steps, depth)
            found = below
        return found

    def _short_form(self, source: Source, holder: Any, step: str, steps: list[str], depth: int) -> Any:
        """A device written ``2P 60 A`` has its rating changed by making it a mapping first."""
        poles = _WITH_POLES.fullmatch(str(holder[step]))
        if steps[depth + 1 :] == ["rating"]:
            long_form: dict[str, Any] = {"rating": str(holder[step])} | ({"poles": poles[1][0]} if poles is not None else {})
            holder[step] = long_form
            return long_form
        at = ".".join(steps[: depth + 1])
        self._problem(source, f"{at} is a single value in the file; name {at} and give the whole of it")
        return None

    def _leave_out(self, source: Source, holder: Any, steps: list[str]) -> None:
        if isinstance(holder, dict) and steps[-1] in holder:
            del holder[steps[-1]]
        else:
            self._unknown(source, steps, holder)

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

    def _place(self, path: Path, source: Source) -> None:
        """Everything below ``path`` now stands where it is said: in ``built:``, or in a file of its own."""
        for table in (self._values, self._keys, self._files):
            for old in [p for p in table if p[: len(path)] == path]:
                del table[old]
        if isinstance(source, ProjectLine):
            self._say(path, (source.line, source.column), source.file)
            return
        said: Path = ("built", "departures", source, "to")
        self._say(path, self.original.position(said))
        self._repeat_places(self.original.positions, said, path)

    def _say(self, path: Path, at: Place, file: str = "") -> None:
        """``path``, and what above it was not in the file, stands at ``at``."""
        for part in [path, *(path[:depth] for depth in range(1, len(path)) if path[:depth] not in self._values)]:
            self._values[part] = at
            if file:
                self._files[part] = file

    def _unknown(self, source: Source, steps: list[str], holder: Any) -> None:
        known = [str(key) for key in holder] if isinstance(holder, dict) else []
        where = f" under {'.'.join(steps[:-1])}" if len(steps) > 1 else ""
        self._problem(source, f'there is no "{steps[-1]}"{where}{did_you_mean(steps[-1], known)}')

    def _problem(self, source: Source, message: str) -> None:
        if isinstance(source, ProjectLine):
            self.problems.append(Problem(source.file, source.line, source.column, source.path, message))
        else:
            self.problems.append(self.original.problem(("built", "departures", source, "path"), message))
