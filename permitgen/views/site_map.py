"""The site plan as the emergency map needs it: its geometry simplified, storage and generators, and points that carry steps.

Feet, x to the right, y up the page, as in the project file.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.system.site.geometry import Point
from permitgen.system.site.way_around import way_around
from permitgen.system.walks.batteries import batteries_among
from permitgen.views.site_geometry import SiteGeometry, point_of, site_geometry_of

if TYPE_CHECKING:
    from permitgen.system.system import System


__all__ = ["MapSource", "MapStep", "Point", "SiteMap", "point_of", "site_map_of"]


@dataclass(frozen=True, slots=True)
class MapSource:
    """A storage unit or a generator: ``kind`` says which."""

    kind: str
    at: Point
    tag: str


@dataclass(frozen=True, slots=True)
class MapStep:
    """A numbered switch. ``facing`` is the direction on the plan in which it looks away from its wall, (0, 0) where not stated."""

    number: int
    tag: str
    at: Point
    facing: Point = (0.0, 0.0)


@dataclass(frozen=True, slots=True)
class SiteMap:
    """Everything the map shows: the simplified site and what is marked on it; ``you_are_here`` is where it hangs.

    ``way`` is the way on foot from switch to switch, around the buildings. ``not_on_it`` are the numbers of switches whose places nobody
    drew or measured; ``says_where_it_hangs`` that it is posted, so that its own place is missing where ``you_are_here`` is.
    """

    site: SiteGeometry
    sources: tuple[MapSource, ...]
    steps: tuple[MapStep, ...]
    you_are_here: Point | None = None
    meter: Point | None = None
    way: tuple[Point, ...] = ()
    not_on_it: tuple[int, ...] = ()
    says_where_it_hangs: bool = False

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing to draw."""
        return not self.site.buildings


def site_map_of(system: System, steps: tuple[MapStep, ...], number: int, *, names_streets: bool) -> SiteMap:
    """Return the map with ``steps``, those of ``number`` switches that have a point on it.

    ``names_streets`` False leaves out the names of streets, which would tell the address.
    """
    drawn = {step.number for step in steps}
    return SiteMap(
        site=site_geometry_of(system).simplified(names_streets=names_streets),
        sources=_sources(system),
        steps=steps,
        meter=next((at for item in system.equipment.values() if item.is_metering and (at := point_of(item.place)) is not None), None),
        way=_way(system, steps),
        not_on_it=tuple(each for each in range(1, number + 1) if each not in drawn),
    )


def _way(system: System, steps: tuple[MapStep, ...]) -> tuple[Point, ...]:
    """Return the way from switch to switch, a little off the walls on which they hang."""
    buildings = tuple(building.outline for building in system.site.plan.buildings if building.outline)
    stops = [(step.at[0] + step.facing[0] * _OFF_WALL_FT, step.at[1] + step.facing[1] * _OFF_WALL_FT) for step in steps]
    found: list[Point] = stops[:1]
    for start, end in itertools.pairwise(stops):
        found += way_around(buildings, start, end)[1:]
    return tuple(found)


_OFF_WALL_FT = 2.0


def _sources(system: System) -> tuple[MapSource, ...]:
    found = []
    for source in system.sources.values():
        at = point_of(system.equipment[source.tag].place)
        if at is not None and (source.kind == "generator" or batteries_among(system, (source.tag,))):
            found.append(MapSource(source.kind, at, source.tag))
    return tuple(found)
