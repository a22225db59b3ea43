"""Figures that several sources state differently: the system is built once for each choice among them, and the choices are compared."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass, replace
from itertools import product
from math import prod
from types import NoneType
from typing import Any

from pydantic import BaseModel

from permitgen.project.measured import Measured
from permitgen.project.messages import Location, Where
from permitgen.system.project_facts import Assumption
from permitgen.system.slots import Slot, Step, fact_in
from permitgen.system.source_reading import SourceReading, Stated
from permitgen.system.system import System
from permitgen.values.value import Value

MOST_READINGS = 16
_ROOM = "permitgen.system"


@dataclass(frozen=True, slots=True)
class DisputedFigure:
    """A figure with several sources: where it was ``written``, every place of the data that has it from there, what is stated."""

    written: Location
    locations: tuple[Location, ...]
    readings: tuple[Measured, ...]

    @property
    def path(self) -> str:
        """The key of the figure in the project file."""
        return ".".join(str(step) for step in self.written)

    def stated(self, reading: Measured) -> Stated:
        """Return what one source says."""
        return Stated(self.path, reading.spelled, reading.source)


def disputed_figures(models: BaseModel, where: Where) -> tuple[DisputedFigure, ...]:
    """Return the figures of a project with more than one source, in the order of the file's sections."""
    found: dict[Location, DisputedFigure] = {}
    for location, figure in figures_of(models):
        if figure.others:
            written = where(location)
            known = found.get(written, DisputedFigure(written, (), figure.readings))
            found[written] = replace(known, locations=(*known.locations, location))
    return tuple(found.values())


def too_many(figures: tuple[DisputedFigure, ...]) -> str:
    """Return the message where there are more choices than are judged; empty where there are not."""
    count = prod(len(figure.readings) for figure in figures)
    if count <= MOST_READINGS:
        return ""
    names = ", ".join(figure.path for figure in figures)
    return f"{len(figures)} figures with several sources ({names}) make {count} combinations; expected {MOST_READINGS} at most: settle one"


def with_readings(
    system: System, figures: tuple[DisputedFigure, ...], data: dict[str, Any], build: Callable[[dict[str, Any]], System]
) -> System:
    """Return ``system`` with every choice among what the sources of ``figures`` state; ``build`` makes a system of data."""
    choices = list(product(*(figure.readings for figure in figures)))
    built = [build(_chosen(data, figures, choice)) for choice in choices]
    slots = sorted({path for other in built[1:] for path in _differences(built[0], other, ())}, key=len)
    outer = [path for path in slots if not any(path[: len(shorter)] == shorter for shorter in slots if len(shorter) < len(path))]
    readings = tuple(
        SourceReading(
            tuple(figure.stated(reading) for figure, reading in zip(figures, choice, strict=True)),
            tuple((Slot(path), fact_in(one, Slot(path))) for path in outer),
        )
        for choice, one in zip(choices, built, strict=True)
    )
    return replace(system, readings=readings, assumptions=(*system.assumptions, *map(_assumption, figures)))


def _assumption(figure: DisputedFigure) -> Assumption:
    return Assumption(
        title=figure.path, taken=figure.readings[0].text, reason="the sources differ; each is judged, and the worse verdict counts"
    )


def figures_of(tree: Any, at: Location = ()) -> Iterator[tuple[Location, Measured]]:
    """Yield every figure of models with its location in the data."""
    if isinstance(tree, Measured):
        yield at, tree
        return
    for step, part in _steps_of(tree):
        if type(part) not in _HOLDS_NO_FIGURE:
            yield from figures_of(part, (*at, step))


_HOLDS_NO_FIGURE = (str, NoneType, bool, int, float)
"""What most keys of a file hold: asked first, since every key of every file comes by here."""


def _steps_of(tree: Any) -> Iterable[tuple[Step, Any]]:
    if isinstance(tree, BaseModel):
        fields = type(tree).model_fields
        return ((fields[name].alias or name, part) for name, part in tree.__dict__.items() if name in fields)
    if isinstance(tree, Mapping):
        return tree.items()
    return enumerate(tree) if isinstance(tree, tuple | list) else ()


def _chosen(data: dict[str, Any], figures: tuple[DisputedFigure, ...], choice: tuple[Measured, ...]) -> dict[str, Any]:
    """Return the data with what one source says of each figure."""
    for figure, reading in zip(figures, choice, strict=True):
        for location in figure.locations:
            data = _with(data, location, {reading.spelled: reading.source})
    return data


def _with(tree: Any, location: Location, value: Any) -> Any:
    if not location:
        return value
    step, rest = location[0], location[1:]
    if isinstance(tree, list) and isinstance(step, int):
        return [*tree[:step], _with(tree[step], rest, value), *tree[step + 1 :]]
    key = str(step)
    return {**tree, key: _with(tree[key], rest, value)}


def _differences(one: Any, other: Any, at: tuple[Step, ...]) -> Iterator[tuple[Step, ...]]:
    """Yield the paths at which two systems differ, as deep as both have the same parts."""
    parts, others = _parts(one), _parts(other)
    if type(one) is not type(other) or list(parts) != list(others) or (not parts and not _is_same(one, other)):
        yield at
        return
    for step, part in parts.items():
        yield from _differences(part, others[step], (*at, step))


def _parts(thing: Any) -> Mapping[Step, Any]:
    """Return the parts of an object of a system, a mapping or a tuple; facts by their names; none of anything else."""
    if is_dataclass(thing) and type(thing).__module__.startswith(_ROOM):
        return {each.name: getattr(thing, each.name) for each in fields(thing)}
    if isinstance(thing, Mapping):
        return thing
    if not isinstance(thing, tuple):
        return {}
    is_bag = all(isinstance(part, tuple) and len(part) == 2 and isinstance(part[0], str) for part in thing)
    return dict(thing) if is_bag else dict(enumerate(thing))


def _is_same(one: Any, other: Any) -> bool:
    return one.identity == other.identity if isinstance(one, Value) else bool(one == other)
