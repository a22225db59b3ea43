"""What was built: departures from the permitted documents and results from the field."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from permitgen.system.time_of_place import time_of_place

if TYPE_CHECKING:
    from permitgen.values.origin import ProjectLine


@dataclass(frozen=True, slots=True, kw_only=True)
class Departure:
    """One thing built otherwise. ``path`` names the project-file key (``circuits.C7.conductors.size``).

    ``said_by`` tells who says so: a departure in the project file, an answer from the field, or a settlement between answers.
    ``is_readable`` False: the value cannot stand at that key, so that the built state is judged as permitted there.
    ``is_replaced``: a later answer repeats the one that says it, and counts in its place.
    """

    path: str
    permitted: str
    built: str
    reason: str
    decided_by: str = ""
    date: str = ""
    approved_by: str = ""
    at: ProjectLine | None = None
    said_by: Literal["file", "field", "settlement"] = "file"
    is_readable: bool = True
    is_replaced: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldResult:
    """One result from the field: a torque, a test, a serial number, a photo. ``values`` are its further facts as text."""

    kind: str
    subject: str
    values: tuple[tuple[str, str], ...]
    at: ProjectLine | None = None

    def value(self, name: str) -> str:
        """Return a fact of the result, or an empty string."""
        return dict(self.values).get(name, "")

    @property
    def time(self) -> str:
        """Day and time of the place, as 2026-05-14 21:04; with UTC behind it where nobody says how far the place is from that."""
        return time_of_place(self.value("at"), self.value("zone"))

    @property
    def day(self) -> str:
        """The day of the place, year-month-day."""
        return self.time[:10]


@dataclass(frozen=True, slots=True, kw_only=True)
class Settlement:
    """What a person decided where answers differ: which ``entry`` of a line counts, or which ``value`` stands at a line or path."""

    line: str
    path: str
    entry: str
    value: str
    reason: str
    decided_by: str
    date: str
    approved_by: str = ""
    at: ProjectLine | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class WithdrawnPhoto:
    """A photo of the field that is shown no more, by the name of its file; its name and why stay."""

    photo: str
    by: str
    date: str
    reason: str
    at: ProjectLine | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """Who was told what about the built state, and when."""

    what: str
    to: str
    date: str
    by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Built:
    """Everything known about the built state.

    ``warranties`` are pairs of a tag and the day the warranty ends, ``installed`` of a tag and the day it was installed.
    """

    departures: tuple[Departure, ...] = ()
    settlements: tuple[Settlement, ...] = ()
    results: tuple[FieldResult, ...] = ()
    warranties: tuple[tuple[str, str], ...] = ()
    installed: tuple[tuple[str, str], ...] = ()
    told: tuple[Told, ...] = ()
    withdrawn: tuple[WithdrawnPhoto, ...] = ()
