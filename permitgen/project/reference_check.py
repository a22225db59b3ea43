"""What the checks of references have in common: the models, and the place of each in the file."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from permitgen.project.messages import Location, Where
from permitgen.project.sections.project_file import ProjectFile
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import Problem
from permitgen.reading.reader import ReadFile


@dataclass(frozen=True, slots=True)
class Check:
    """Models of a file, the file, and where each location of the models is written."""

    models: ProjectFile
    file: ReadFile
    where: Where

    def problem(self, location: Location, message: str, *, at_key: bool = False) -> Problem:
        """Return a problem at a location of the models."""
        return self.file.problem(self.where(location), message, at_key=at_key)

    def unknown(self, location: Location, what: str, name: str, known: Iterable[str]) -> Problem:
        """Return that a name is none of those known, with the nearest of them."""
        return self.problem(location, f'{what} "{name}"{did_you_mean(name, known)}')
