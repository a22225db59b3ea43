"""What stands on roofs or crosses them: vents, skylights, chimneys, roof boxes, raceways; and the strips they leave free."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.rules.given import MissingFactError
from permitgen.rules.quantities.siting_roof import free_spans_ft
from permitgen.system.site.geometry import Point, along, contains, distance_between, distance_to_segment, edges
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.raceway import Raceway
    from permitgen.system.site.plan import Disc, RoofPlane
    from permitgen.system.system import System

_SHORT_FT = 0.5
"""Runs between places this near each other in plan are not drawn."""


@dataclass(frozen=True, slots=True)
class OnRoof:
    """Something a crew would meet on a roof: its name and its outline in plan, feet; of a raceway (``is_way``) the way.

    ``is_assumed`` marks the way of a raceway that the project does not state: square between its ends, as the plan draws it.
    ``disc`` is the true shape of what is round.
    """

    name: str
    outline: tuple[Point, ...]
    is_way: bool = False
    is_assumed: bool = False
    disc: Disc | None = None


def way_of(system: System, raceway: Raceway) -> tuple[Point, ...]:
    """Return the way of a run on the plan: its stated route, else square between the places of its ends; empty where these have none."""
    if len(raceway.route) > 1:
        return raceway.route
    ends = _ends(system, raceway.tag)
    if ends is None or abs(ends[0][0] - ends[1][0]) + abs(ends[0][1] - ends[1][1]) <= _SHORT_FT:
        return ()
    return _square(*ends)


def _ends(system: System, tag: str) -> tuple[Point, Point] | None:
    for circuit in system.circuits.values():
        if tag in circuit.runs:
            names = (circuit.start.tag, circuit.finish.tag)
            break
    else:
        control = next((c for c in system.controls.values() if tag in c.runs), None)
        if control is None:
            return None
        names = (control.source, control.device)
    found: list[Point] = []
    for name in names:
        place = system.equipment[name].place if name in system.equipment else None
        if place is None or place.x_ft is None or place.y_ft is None:
            return None
        found.append((place.x_ft.number, place.y_ft.number))
    low, high = sorted(found)
    return low, high


def _square(start: Point, end: Point) -> tuple[Point, ...]:
    """Return a way with one corner: along the longer direction last, so that it leaves the wall at its foot."""
    if abs(start[0] - end[0]) < 0.01 or abs(start[1] - end[1]) < 0.01:
        return (start, end)
    return (start, (end[0], start[1]), end) if abs(start[0] - end[0]) < abs(start[1] - end[1]) else (start, (start[0], end[1]), end)


def roof_obstructions(given: Given, building: str) -> tuple[OnRoof, ...]:
    """Return what stands on or runs over the roof of a building, besides modules.

    Raises:
        MissingFactError: an obstruction has no outline, or a run over the roof has no way on the plan.
    """
    system = given.system
    found = []
    for index, drawn in enumerate(system.site.plan.obstructions, start=1):
        if not drawn.outline:
            raise MissingFactError(f"place and diameter, or outline, of the roof obstruction {index} ({drawn.kind})")
        found.append(OnRoof(drawn.name, drawn.outline, disc=drawn.disc))
    for tag, raceway in system.raceways.items():
        if raceway.above_roof_in is None or raceway.on_building not in ("", building) or raceway.answer("within_array"):
            continue
        way = way_of(system, raceway)
        if not way:
            raise MissingFactError(f"route of {tag} over the roof")
        found.append(OnRoof(tag, way, is_way=True, is_assumed=len(raceway.route) < 2))
    return (*found, *_roof_equipment(system))


def _roof_equipment(system: System) -> list[OnRoof]:
    """Boxes and switches on the roof, by their size where it is stated, else as a point."""
    found = []
    for tag, item in system.equipment.items():
        place = item.place
        if item.kind == "pv_array" or place is None or "roof" not in place.space:
            continue
        if place.x_ft is not None and place.y_ft is not None:
            width, depth = item.fact("width"), item.fact("depth")
            across, deep = (width.number / 24 if width is not None else 0.0), (depth.number / 24 if depth is not None else 0.0)
            x, y = place.x_ft.number, place.y_ft.number
            found.append(OnRoof(tag, ((x - across, y - deep), (x + across, y - deep), (x + across, y + deep), (x - across, y + deep))))
    return found


def clear_spans_ft(plane: RoofPlane, obstructions: Iterable[OnRoof]) -> list[tuple[float, float]]:
    """Return where along the eave the strips lie that neither array nor obstruction takes, ft along ``plane.across``."""
    taken = sorted(span for item in obstructions for span in _spans_on(plane, item))
    clear: list[tuple[float, float]] = []
    for low, high in free_spans_ft(plane):
        left = low
        for start, end in taken:
            if end <= left or start >= high:
                continue
            if start > left:
                clear.append((left, start))
            left = max(left, end)
        if left < high:
            clear.append((left, high))
    return clear


def met_in(plane: RoofPlane, span: tuple[float, float], obstructions: Iterable[OnRoof]) -> tuple[OnRoof, ...]:
    """Return the obstructions in a strip from eave to ridge."""
    return tuple(
        item for item in obstructions if any(start < span[1] - 1e-9 and end > span[0] + 1e-9 for start, end in _spans_on(plane, item))
    )


def clearance_ft(outline: Sequence[Point], others: Iterable[Sequence[Point]], title: str) -> Value | None:
    """Return the distance in plan of an outline to the nearest of others, ft; None where there are none."""
    found = min((distance_between(outline, other) for other in others if other), default=None)
    return Value(found, "ft", FromSystem("measured on the site plan"), "d", title) if found is not None else None


def obstructed_by(plane: RoofPlane, obstructions: Iterable[OnRoof]) -> tuple[OnRoof, ...]:
    """Return the obstructions that take a part of a plane."""
    return tuple(item for item in obstructions if _spans_on(plane, item))


def _spans_on(plane: RoofPlane, item: OnRoof) -> list[tuple[float, float]]:
    """Return the stretches along the eave that an obstruction takes of a plane."""
    if not item.is_way:
        return [_reach(plane, item)] if distance_between(item.outline, plane.outline) == 0.0 else []
    return [along(part, plane.across) for a, b in itertools.pairwise(item.outline) for part in _parts_inside(plane, a, b)]


def _reach(plane: RoofPlane, item: OnRoof) -> tuple[float, float]:
    """Return from where to where something reaches along the eave; of what is round by its circle, which is alike from all sides."""
    if item.disc is None:
        return along(item.outline, plane.across)
    middle, _ = along([item.disc.middle], plane.across)
    return middle - item.disc.radius_ft, middle + item.disc.radius_ft


_ON_EDGE_FT = 0.05
"""A run this near the edge of a plane runs along it and crosses nothing."""


def _parts_inside(plane: RoofPlane, start: Point, end: Point) -> list[tuple[Point, Point]]:
    """Return the parts of a straight run that lie on a plane."""

    def at(share: float) -> Point:
        return (start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1]))

    cuts = sorted({0.0, 1.0, *(share for a, b in edges(plane.outline) if (share := _share_at(start, end, a, b)) is not None)})
    found = []
    for low, high in itertools.pairwise(cuts):
        middle = at((low + high) / 2)
        if contains(plane.outline, middle) and min(distance_to_segment(middle, *edge) for edge in edges(plane.outline)) > _ON_EDGE_FT:
            found.append((at(low), at(high)))
    return found


def _share_at(start: Point, end: Point, a: Point, b: Point) -> float | None:
    """Return at which share of the way from start to end it meets the line a to b; None where it does not."""
    run, edge = (end[0] - start[0], end[1] - start[1]), (b[0] - a[0], b[1] - a[1])
    turn = run[0] * edge[1] - run[1] * edge[0]
    if abs(turn) < 1e-12:
        return None
    to = (a[0] - start[0], a[1] - start[1])
    share, other = (to[0] * edge[1] - to[1] * edge[0]) / turn, (to[0] * run[1] - to[1] * run[0]) / turn
    return share if 0.0 < share < 1.0 and -1e-9 <= other <= 1 + 1e-9 else None
