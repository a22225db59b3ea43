"""A-201: walls with equipment as somebody sees them who stands in front, in feet to the right and above the floor or grade."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.rules.quantities.plan_distances import measured
from permitgen.system.site.facing import facing_on_page, side_facing
from permitgen.system.site.geometry import Point, distance_to_segment, edges
from permitgen.system.walks.isolation import shutdown_steps
from permitgen.views.plans.cited import comparison, finding_of, not_kept, rounded, spacing_words, working_space_limits
from permitgen.views.plans.parts import PlanDimension
from permitgen.views.site_geometry import SiteGeometry, point_of, site_geometry_of
from permitgen.views.wording import feet_and_inches

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.evaluation.finding import Finding
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.site.compass import Direction
    from permitgen.system.site.plan import Plan

_SAME_WALL_FT = 3.0
"""Things that face one way and lie no farther apart across the wall are seen together."""
_NEAR_WALL_FT = 1.5
_BESIDE_FT = 2.5


@dataclass(frozen=True, slots=True)
class WorkingSpace:
    """The dashed box in front of equipment: left edge, width and height in feet, with its words."""

    left: float
    width: float
    height: float
    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ElevationItem:
    """One enclosure: lower left corner and size in feet. ``is_height_stated`` False: it is drawn about its grip and dashed."""

    tag: str
    words: tuple[str, ...]
    left: float
    bottom: float
    width: float
    height: float
    grip: float | None
    step: str
    is_existing: bool
    is_height_stated: bool
    space: WorkingSpace | None


@dataclass(frozen=True, slots=True)
class WallOpening:
    """A door or window in a wall: its middle, its width where the project states it, feet, and its name."""

    middle: float
    width: float | None
    words: str


@dataclass(frozen=True, slots=True)
class Elevation:
    """One wall: feet to the right from ``left`` to ``right``; ``corners`` are its ends, ``openings`` doors and windows on it."""

    title: str
    ground: str
    left: float
    right: float
    top: float
    corners: tuple[float, ...]
    openings: tuple[WallOpening, ...]
    items: tuple[ElevationItem, ...]
    dimensions: tuple[PlanDimension, ...]


@dataclass(frozen=True, slots=True)
class Elevations:
    """All walls. ``limits`` are the working spaces and heights judged, one row each; ``missing`` what could not be drawn."""

    walls: tuple[Elevation, ...]
    limits: tuple[tuple[str, str, str], ...]
    notes: tuple[str, ...]
    missing: tuple[str, ...]


def elevations_of(evaluation: Evaluation) -> Elevations:
    """Return the walls on which equipment with a known direction, place and size stands."""
    site = site_geometry_of(evaluation.system)
    missing: list[str] = []
    groups: list[list[Equipment]] = []
    for item in evaluation.system.equipment.values():
        if _is_on_wall(item) and _has_size(item, missing):
            _join(item, groups, site)
    walls = tuple(_wall(evaluation, site, group, missing) for group in groups)
    shown = [item for group in groups for item in group]
    return Elevations(walls, _limits(evaluation, shown), _NOTES, tuple(dict.fromkeys(missing)))


_NOTES = (
    "Heights are above the floor or grade in front of the wall. A cross marks the center of the handle in its highest position.",
    "Dashed boxes are working spaces of the required width and height; they may shift sideways and may overlap.",
    "Wall and opening heights are not in the project file; openings are dashed and show width only.",
)


def _is_on_wall(item: Equipment) -> bool:
    place = item.place
    return place is not None and place.faces is not None and point_of(place) is not None and "ground" not in place.space


def _has_size(item: Equipment, missing: list[str]) -> bool:
    if item.fact("width") is None or item.fact("height") is None:
        missing.append(f"width and height of {item.tag}")
        return False
    if _bottom(item) is None and (item.place is None or item.place.handle_height_in is None):
        missing.append(f"height above floor of {item.tag}")
        return False
    return True


def _bottom(item: Equipment) -> float | None:
    stated = item.place.fact("bottom_height") if item.place is not None else None
    return stated.number / 12 if stated is not None else None


def _join(item: Equipment, groups: list[list[Equipment]], site: SiteGeometry) -> None:
    """Put an item with those on the same wall of the same building, or begin a new wall."""
    for group in groups:
        first = group[0]
        if _wall_key(first) == _wall_key(item) and abs(_across(first, site) - _across(item, site)) < _SAME_WALL_FT:
            group.append(item)
            return
    groups.append([item])


def _wall_key(item: Equipment) -> tuple[str, Direction | None, bool | None]:
    place = item.place
    return (place.building, place.faces, place.outdoors) if place is not None else ("", None, None)


def _axes(item: Equipment, site: SiteGeometry) -> tuple[Point, Point]:
    """Return where the item faces and the direction to the right of somebody who looks at it."""
    faces = facing_on_page(site.plan, item.place)
    return faces, (-faces[1], faces[0])


def _across(item: Equipment, site: SiteGeometry) -> float:
    faces, _ = _axes(item, site)
    at = point_of(item.place) or (0.0, 0.0)
    return at[0] * faces[0] + at[1] * faces[1]


def _right(point: Point, right: Point) -> float:
    return point[0] * right[0] + point[1] * right[1]


def _wall(evaluation: Evaluation, site: SiteGeometry, group: list[Equipment], missing: list[str]) -> Elevation:
    _, right = _axes(group[0], site)
    steps = {handle.tag: str(number) for number, handle in enumerate(shutdown_steps(evaluation.system).steps, start=1)}
    items = tuple(
        _item(evaluation, item, right, steps.get(item.tag, ""), missing)
        for item in sorted(group, key=lambda i: _right(point_of(i.place) or (0, 0), right))
    )
    edges_ft = [x for item in items for x in _reach(item)]
    start, end = min(edges_ft) - _BESIDE_FT, max(edges_ft) + _BESIDE_FT
    corners, openings = _on_wall(site, group[0], right)
    place = group[0].place
    inside = place is not None and place.outdoors is False
    building = next((b.label for b in site.buildings if place is not None and b.key == place.building), "") or (
        place.building if place else ""
    )
    corners = tuple(x for x in corners if start - 3.0 < x < end + 3.0)
    return Elevation(
        title=_title(site.plan, place.faces if place else None, building, inside=inside),
        ground="FLOOR" if inside else "GRADE",
        left=min((start, *corners)),
        right=max((end, *corners)),
        top=max([8.0, *(item.bottom + item.height for item in items), *(item.space.height for item in items if item.space)]),
        corners=corners,
        openings=tuple(opening for opening in openings if start < opening.middle < end),
        items=items,
        dimensions=(*_spacings(evaluation, items), *_centers(items, corners)),
    )


def _title(plan: Plan, faces: Direction | None, building: str, *, inside: bool) -> str:
    """Return the name of an elevation: an outside wall by the way it faces, an inside wall by the side of the room it bounds.

    Where the plan says where the front is, the side comes first, as people who stand in the street call it.
    """
    where = "inside" if inside else "outside"
    if faces is None:
        return f"{building} wall, {where}"
    out = faces.opposite if inside else faces
    side = side_facing(plan, out)
    return f"{building} {side} wall ({out.words}), {where}" if side else f"{building} {out.words} wall, {where}"


def _reach(item: ElevationItem) -> tuple[float, float]:
    left, right = item.left, item.left + item.width
    if item.space is None:
        return left, right
    return min(left, item.space.left), max(right, item.space.left + item.space.width)


def _item(evaluation: Evaluation, item: Equipment, right: Point, step: str, missing: list[str]) -> ElevationItem:
    width, height = item.fact("width"), item.fact("height")
    if width is None or height is None:
        raise ValueError(f"{item.tag} has no size")
    grip = item.place.handle_height_in if item.place is not None else None
    bottom = _bottom(item)
    if bottom is None:
        missing.append(f"height of the lower edge of {item.tag} (drawn dashed about its handle)")
    center = _right(point_of(item.place) or (0.0, 0.0), right)
    low = bottom if bottom is not None else (grip.number if grip is not None else 0.0) / 12 - height.number / 24
    words = [f"{item.tag} (E)" if item.status == "existing" else item.tag]
    if grip is not None:
        words.append(f"CENTER OF HANDLE {rounded(grip)}{_highest(evaluation, item)}")
    return ElevationItem(
        tag=item.tag,
        words=tuple(words),
        left=center - width.number / 24,
        bottom=low,
        width=width.number / 12,
        height=height.number / 12,
        grip=grip.number / 12 if grip is not None else None,
        step=step,
        is_existing=item.status == "existing",
        is_height_stated=bottom is not None,
        space=_space(finding_of(evaluation, "working-space", item.tag), center),
    )


def _highest(evaluation: Evaluation, item: Equipment) -> str:
    """Return the highest permitted center of a handle, where a rule compared it."""
    for rule in ("handle-height", "overcurrent-accessible"):
        finding = finding_of(evaluation, rule, item.tag)
        if finding is not None and finding.judgement.limit is not None and finding.judgement.limit.unit == "in":
            return f" ({rounded(finding.judgement.limit)} MAX)"
    return ""


def _space(finding: Finding | None, center: float) -> WorkingSpace | None:
    """Return the box that the rule on working space asks for: width and height from its parts, where it judged all three."""
    if finding is None:
        return None
    limits = working_space_limits(finding)
    if limits is None:
        return None
    depth, width, height = limits
    wide = width.number / 12
    mark = not_kept(finding.verdict)
    words = (f"{rounded(width)} W x {rounded(depth)} D x {rounded(height)} H{' ' + mark if mark else ''}",)
    return WorkingSpace(center - wide / 2, wide, height.number, words)


def _on_wall(site: SiteGeometry, item: Equipment, right: Point) -> tuple[tuple[float, ...], list[WallOpening]]:
    """Return the ends of the wall an item stands at, and what opens in it."""
    at = point_of(item.place) or (0.0, 0.0)
    place = item.place
    walls = [edge for b in site.buildings if place is not None and b.key == place.building for edge in edges(b.outline)]
    level = [edge for edge in walls if abs(_right(edge[0], right) - _right(edge[1], right)) > 0.5]
    nearest = min(level, key=lambda edge: distance_to_segment(at, *edge), default=None)
    if nearest is None or distance_to_segment(at, *nearest) > _NEAR_WALL_FT:
        return (), []
    corners = tuple(sorted(_right(point, right) for point in nearest))
    openings = [
        WallOpening(_right(p.at, right), p.width_ft, (p.label or p.kind).upper())
        for p in site.points
        if p.is_opening and distance_to_segment(p.at, *nearest) < 0.1
    ]
    return corners, openings


def _spacings(evaluation: Evaluation, items: tuple[ElevationItem, ...]) -> tuple[PlanDimension, ...]:
    """The distance of storage units to each other, with the words of the rule's judgement."""
    found = []
    for one, other in itertools.pairwise(items):
        finding = finding_of(evaluation, "storage-spacing", one.tag)
        if finding is None or finding_of(evaluation, "storage-spacing", other.tag) is None or finding.judgement.computed is None:
            continue
        y = max(one.bottom + one.height, other.bottom + other.height) - 0.4
        words = spacing_words(evaluation, finding, other.left - one.left - one.width)
        found.append(PlanDimension((one.left + one.width, y), (other.left, y), words))
    return tuple(found)


def _centers(items: tuple[ElevationItem, ...], corners: tuple[float, ...]) -> tuple[PlanDimension, ...]:
    """Distances below the wall, from its ends over the middles of the enclosures."""
    marks = sorted({round(x, 4) for x in (*corners, *(item.left + item.width / 2 for item in items))})
    return tuple(
        PlanDimension((a, 0.0), (b, 0.0), feet_and_inches(measured((a, 0.0), (b, 0.0), "along the wall").number), ((a + b) / 2, 5.0))
        for a, b in itertools.pairwise(marks)
    )


def _limits(evaluation: Evaluation, items: list[Equipment]) -> tuple[tuple[str, str, str], ...]:
    rows: list[tuple[str, str, str]] = []
    for item in items:
        for rule, name in (
            ("working-space", "working space"),
            ("handle-height", "center of handle"),
            ("overcurrent-accessible", "center of handle"),
            ("dedicated-space", "dedicated space"),
        ):
            finding = finding_of(evaluation, rule, item.tag)
            if finding is None:
                continue
            compared = [comparison(part) for part in finding.judgement.parts or (finding.judgement,) if part.computed is not None]
            said = "; ".join(compared) or finding.judgement.message.partition(": ")[2] or finding.judgement.message
            mark = not_kept(finding.verdict)
            rows.append((item.tag, f"{name}: {said}{'. ' + mark if mark else ''}", finding.citation))
    return tuple(rows)
