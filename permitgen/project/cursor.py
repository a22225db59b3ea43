"""A model together with the place it was written, so that every value taken from it remembers its line."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel

from permitgen.project.fields import SizeText
from permitgen.project.measured import Measured
from permitgen.project.messages import Location, Where
from permitgen.reading.reader import ReadFile
from permitgen.values.conductor_size import ConductorSize
from permitgen.values.origin import ProjectLine
from permitgen.values.value import Value


class Cursor:
    """Points at one model. ``owner`` is the tag its values belong to, for their titles."""

    def __init__(self, file: ReadFile, where: Where, location: Location, model: BaseModel, owner: str = "") -> None:
        self.file = file
        self.where = where
        self.location = location
        self.model = model
        self.owner = owner

    def child(self, name: str, *steps: str | int, model: BaseModel | None = None) -> Cursor:
        """Return the cursor of a nested model."""
        found: Any = model if model is not None else getattr(self.model, name)
        alias = type(self.model).model_fields[name].alias or name
        return Cursor(self.file, self.where, (*self.location, alias, *steps), found, self.owner)

    def line(self, *steps: str | int) -> ProjectLine:
        """Return where a key below this model was written (the model itself where it was not)."""
        written = self.where((*self.location, *steps))
        line, column = self.file.position(written)
        return ProjectLine(self.file.file_of(written), line, column, ".".join(str(step) for step in (*self.location, *steps)), "")

    def is_of_catalog(self, *steps: str | int) -> bool:
        """Whether a key below this model was written in the catalog, also where a directory only names what the catalog describes."""
        written = self.where((*self.location, *steps))
        if written[0] != "equipment":
            return written[0] == "catalog"
        entry: Any = self.file.data.get("equipment")
        own = entry.get(written[1]) if isinstance(entry, dict) else None
        name = own.get("catalog") if isinstance(own, dict) else None
        return name is not None and self.file.position(("catalog", str(name), *written[2:])) == self.file.position(written)

    def value(self, name: str, title: str = "", symbol: str = "") -> Value | None:
        """Return the measured field ``name`` as a value, None where it is missing or unknown."""
        return self._value(getattr(self.model, name), (name,), title or self._title(name), symbol)

    def of(self, measured: Measured | None, *steps: str | int, title: str = "", symbol: str = "") -> Value | None:
        """Return a measured entry of a nested mapping as a value."""
        return self._value(measured, steps, title, symbol)

    def _title(self, name: str) -> str:
        words = name.strip("_").replace("_", " ")
        return f"{words} of {self.owner}" if self.owner else words

    def _value(self, measured: Measured | None, steps: tuple[str | int, ...], title: str, symbol: str) -> Value | None:
        if measured is None:
            return None
        at = self.line(*steps)
        origin = ProjectLine(at.file, at.line, at.column, at.path, measured.spelled, measured.source)
        return Value(measured.number, measured.unit, origin, symbol, title, measured.spelled)

    def size(self, name: str) -> tuple[ConductorSize | None, ProjectLine | None]:
        """Return the conductor size field ``name`` and where it was written."""
        found: SizeText | None = getattr(self.model, name)
        if found is None or found.size is None:
            return None, None
        at = self.line(name)
        return found.size, ProjectLine(at.file, at.line, at.column, at.path, found.spelled)

    def facts(self, used: frozenset[str]) -> tuple[tuple[str, Value], ...]:
        """Return every measured field not in ``used`` as (name, value)."""
        found = []
        for name in type(self.model).model_fields:
            if name not in used and isinstance(getattr(self.model, name), Measured):
                value = self.value(name)
                if value is not None:
                    found.append((name, value))
        return tuple(found)

    def answers(self) -> tuple[tuple[str, bool], ...]:
        """Return every yes-or-no field that the writer answered as (name, answer)."""
        model: Any = self.model
        return tuple(
            (name, answer)
            for name in type(model).model_fields
            if name in model.model_fields_set and isinstance(answer := getattr(model, name), bool)
        )

    def words(self, names: tuple[str, ...]) -> tuple[tuple[str, str], ...]:
        """Return the text fields ``names`` that are not empty."""
        return tuple((name, getattr(self.model, name)) for name in names if getattr(self.model, name, ""))
