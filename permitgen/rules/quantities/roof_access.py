"""What firefighters need on a roof: strips from eave to ridge, two on separate planes, one toward the street, one for each array plane.

Judged twice with the same parts: with modules alone in the way, and with vents, raceways and boxes as well.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.code.equations.clearances import length_in
from permitgen.rules.judgement import Judgement, Verdict, at_least, does_not_apply, not_judged, require, require_at_least
from permitgen.rules.quantities.array_buildings import building_of_array
from permitgen.rules.quantities.building_use import is_detached_nonhabitable
from permitgen.rules.quantities.plan_distances import foot_on
from permitgen.rules.quantities.siting_roof import planes_of, roof_planes
from permitgen.system.site.geometry import Point, Polygon, centroid, distance_between, distance_to_segment, edges
from permitgen.system.site.plan import RoofPlane
from permitgen.system.walks.array_place import is_array_on_building
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.photovoltaic import PVArray

# A plane falls toward a street by more than what floating point leaves of a right angle.
_ALONG_FT = 1e-6
# Planes whose outlines come this near each other are adjacent.
ADJACENT_FT = 0.5
_LEVEL_FT = 0.1

Spans = Callable[[RoofPlane], list[tuple[float, float]]]
InTheWay = Callable[[RoofPlane], list[Polygon]]


@dataclass(frozen=True, slots=True)
class RoofAccess:
    """The planes of the roof that carries an array, those that the array covers, and the width asked for, in.

    ``spans`` gives the strips of a plane that count, ``in_the_way`` the outlines that take the others; ``otherwise`` is the verdict where
    too little is left.
    """

    array: PVArray
    planes: tuple[RoofPlane, ...]
    covered: tuple[RoofPlane, ...]
    needed: Value
    spans: Spans
    in_the_way: InTheWay
    free: str
    otherwise: Verdict = Verdict.VIOLATED

    @property
    def open_planes(self) -> tuple[RoofPlane, ...]:
        """The planes on which one strip is wide enough."""
        return tuple(plane for plane in self.planes if at_least(self.widest(plane), self.needed))

    def widest(self, plane: RoofPlane) -> Value:
        """Return the width of the widest strip of a plane, in."""
        width = max((high - low for low, high in self.spans(plane)), default=0.0)
        title = f"widest {self.free} strip of the {plane.name} roof"
        found = Value(width, "ft", FromSystem(f"site plan, roof plane {plane.name}"), "w", title)
        return length_in.derive(length_ft=found, symbol="w", title=title)


def access_exemption(array: PVArray, given: Given) -> Judgement | None:
    """Return why the roof that carries an array needs no access for firefighters, None where it needs it.

    Raises:
        MissingFactError: the project does not say whether the array is on a building.
    """
    if not given.need(is_array_on_building(array), f"whether {array.tag} is on a building"):
        return does_not_apply(f"{array.tag}: not on a building")
    building = building_of_array(given, array)
    if given.in_force("roof_access_detached") and is_detached_nonhabitable(given, building):
        reason = f"{array.tag}: {building} stands by itself and nobody lives in it"
        return does_not_apply(reason).under(given.provision("roof_access_detached"))
    return None


def is_too_flat(array: PVArray, given: Given) -> bool:
    """Whether all planes under an array are so flat that the section asks for no pathway."""
    flat = given.provision("roof_pathways").value("flat_slope_factor").number
    return all(plane.slope <= flat + 1e-9 for plane in planes_of(given, array))


def planes_around(array: PVArray, given: Given) -> tuple[tuple[RoofPlane, ...], tuple[RoofPlane, ...]]:
    """Return all planes of the building's roof, and those that an array covers."""
    covered = planes_of(given, array)
    building = covered[0].building
    return tuple(plane for plane in roof_planes(given).values() if plane.building == building and plane.outline), covered


def access_parts(access: RoofAccess, given: Given) -> list[Judgement]:
    """Return the parts of the requirement: how many planes, each plane with modules, the side of the street."""
    return [_number(access, given), *(_for_plane(access, plane) for plane in access.covered), _toward_street(access, given)]


def _number(access: RoofAccess, given: Given) -> Judgement:
    count = Value(float(len(access.open_planes)), "count", FromSystem("counted on the site plan"), "n", "roof planes with a pathway")
    limit = given.provision("roof_pathways").value("smallest_count")
    message = f"{access.array.tag}: {_kind(access)} on {len(access.open_planes)} roof planes, {limit.figure} needed"
    return require_at_least(message, computed=count, limit=limit, method="number of planes", otherwise=access.otherwise)


def _kind(access: RoofAccess) -> str:
    return "pathways" if access.free == "free" else f"{access.free} pathways"


def _for_plane(access: RoofAccess, plane: RoofPlane) -> Judgement:
    """The widest strip on the plane itself, on one beside it, or on both sides of the edge they share."""
    options = [(access.widest(plane), "")]
    for other in access.planes:
        if other is not plane and distance_between(other.outline, plane.outline) <= ADJACENT_FT:
            options.append((access.widest(other), f", on the {other.name} roof beside it"))
            across = straddling_ft(plane, other, access.in_the_way)
            if across is not None:
                title = f"free on both sides of the edge between the {plane.name} and {other.name} roofs"
                found = Value(across, "ft", FromSystem("site plan, square to the shared edge"), "w", title)
                options.append((length_in.derive(length_ft=found, symbol="w", title=title), f", straddling the {other.name} roof"))
    kept = [option for option in options if at_least(option[0], access.needed)]
    width, where = kept[0] if kept else max(options, key=lambda option: option[0].number)
    message = (
        f"{access.array.tag}: {width.number:.1f} in {access.free} from eave to ridge for the {plane.name} roof{where},"
        f" {access.needed.length} needed"
    )
    return require_at_least(message, computed=width, limit=access.needed, method=f"for the {plane.name} roof", otherwise=access.otherwise)


def straddling_ft(plane: RoofPlane, other: RoofPlane, in_the_way: InTheWay) -> float | None:
    """Return the width free on both sides of a hip or valley that runs from eave to ridge, square to it in plan, ft; None without one."""
    others = {frozenset(edge) for edge in edges(other.outline)}
    for edge in edges(plane.outline):
        if frozenset(edge) in others and _climbs(plane, edge) and _climbs(other, edge):
            return sum(_free_beside(side, edge, in_the_way(side)) for side in (plane, other))
    return None


def _climbs(plane: RoofPlane, edge: tuple[Point, Point]) -> bool:
    """Whether an edge runs from the eave of a plane to its top."""
    heights = [x * plane.up[0] + y * plane.up[1] for x, y in plane.outline]
    ends = sorted(x * plane.up[0] + y * plane.up[1] for x, y in edge)
    return ends[0] <= min(heights) + _LEVEL_FT and ends[1] >= max(heights) - _LEVEL_FT


def _free_beside(plane: RoofPlane, edge: tuple[Point, Point], taken: list[Polygon]) -> float:
    """Return how far from an edge the nearest outline lies, at most as far as the plane reaches."""
    reach = max(distance_to_segment(corner, *edge) for corner in plane.outline)
    return min([reach, *(distance_between(outline, edge) for outline in taken)])


def _toward_street(access: RoofAccess, given: Given) -> Judgement:
    """A plane falls toward the street or driveway when its downhill direction points to the nearest of them."""
    streets = [feature.outline for feature in given.system.site.plan.features if feature.is_street and feature.outline]
    if not streets:
        return not_judged("street or driveway on the site plan")
    facing = [plane.name for plane in access.open_planes if any(_falls_toward(plane, street) for street in streets)]
    one = "pathway" if access.free == "free" else f"{access.free} pathway"
    message = (
        f"{access.array.tag}: {'a' if facing else 'no'} {one} on the side of the street or driveway{': ' + facing[0] if facing else ''}"
    )
    return require(bool(facing), message, method="toward the street", otherwise=access.otherwise)


def _falls_toward(plane: RoofPlane, street: tuple[Point, ...]) -> bool:
    middle = centroid(plane.outline)
    nearest = min(edges(street), key=lambda edge: distance_to_segment(middle, *edge))
    # The nearest point of the street, not the middle of its edge: beside a long street a plane that falls along it does not face it.
    target = foot_on(middle, *nearest)
    return (target[0] - middle[0]) * plane.down[0] + (target[1] - middle[1]) * plane.down[1] > _ALONG_FT
