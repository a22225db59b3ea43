"""C-101: what the site plan shows, in feet, with finished words."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from permitgen.rules.quantities.plan_distances import footprint_on_plan, measured, nearest_to_line, space_before
from permitgen.system.site.facing import facing_on_page
from permitgen.system.site.geometry import centroid, edges
from permitgen.system.walks.isolation import shutdown_steps
from permitgen.views.document_id import BESIDE
from permitgen.views.languages import speaks_of_sides
from permitgen.views.plans.cited import comparison, finding_of, not_kept, working_space_limits
from permitgen.views.plans.parts import Outline, PlanDimension, PlanEquipment, PlanRoute, PlanZone, Point
from permitgen.views.plans.routes import routes_of
from permitgen.views.plans.vicinity import Vicinity, vicinity_of
from permitgen.views.site_geometry import NamedOutline, SiteGeometry, point_of, site_geometry_of
from permitgen.views.wording import feet_and_inches

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.system import System


@dataclass(frozen=True, slots=True)
class SitePlan:
    """Everything on the site plan.

    ``close`` are the corners of the part to be enlarged, ``close_tags`` what is shown there, ``working_spaces`` what is kept clear
    before it; ``missing`` names what the project does not state; ``place_heading`` stands above the places.
    """

    site: SiteGeometry
    lot_lines: tuple[PlanDimension, ...]
    setbacks: tuple[PlanDimension, ...]
    equipment: tuple[PlanEquipment, ...]
    routes: tuple[PlanRoute, ...]
    zones: tuple[PlanZone, ...]
    close: Outline
    close_tags: tuple[str, ...]
    working_spaces: tuple[PlanZone, ...]
    close_remark: str
    notes: tuple[str, ...]
    missing: tuple[str, ...]
    vicinity: Vicinity
    place_heading: str = field(default="PLACE", metadata=BESIDE)

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing to draw."""
        return self.site.is_empty


def site_plan_of(evaluation: Evaluation) -> SitePlan:
    """Return the site plan."""
    system = evaluation.system
    site = site_geometry_of(system)
    equipment = equipment_on_plan(system)
    close, close_tags = _close(system, site, equipment)
    spaces = _working_spaces(evaluation, equipment)
    return SitePlan(
        site=site,
        lot_lines=_lot_lines(site),
        setbacks=_setbacks(site, equipment),
        equipment=equipment,
        routes=routes_of(evaluation),
        zones=_generator_zones(evaluation, equipment),
        close=close,
        close_tags=close_tags,
        working_spaces=spaces,
        close_remark="HATCHED: WORKING SPACE, SEE A-201" if spaces else "",
        notes=_notes(evaluation),
        missing=_missing(system, site, equipment),
        vicinity=vicinity_of(system.site.plan),
        place_heading="PLACE (SIDES AS SEEN FROM THE STREET)" if any(speaks_of_sides(item.place) for item in equipment) else "PLACE",
    )


def equipment_on_plan(system: System) -> tuple[PlanEquipment, ...]:
    """Return every piece of equipment that has a place on the plan: there, to be installed, or to be removed."""
    steps = {handle.tag: str(number) for number, handle in enumerate(shutdown_steps(system).steps, start=1)}
    found = []
    for item in (*system.equipment.values(), *system.removed.values()):
        at = point_of(item.place)
        if at is not None:
            found.append(_placed(system, item, at, steps.get(item.tag, "")))
    return tuple(found)


def _placed(system: System, item: Equipment, at: Point, step: str) -> PlanEquipment:
    place = item.place
    return PlanEquipment(
        tag=item.tag,
        name=item.name,
        place=place.description if place is not None else "",
        at=at,
        outline=footprint_on_plan(system, item) or (),
        facing=facing_on_page(system.site.plan, place),
        step=step,
        is_existing=item.status == "existing",
        is_removed=item.tag in system.removed,
    )


def _lot_lines(site: SiteGeometry) -> tuple[PlanDimension, ...]:
    if len(site.lot) < 3:
        return ()
    middle = centroid(site.lot)
    return tuple(PlanDimension(a, b, feet_and_inches(measured(a, b, "lot line").number), middle) for a, b in edges(site.lot))


def _setbacks(site: SiteGeometry, equipment: tuple[PlanEquipment, ...]) -> tuple[PlanDimension, ...]:
    """Distances to every lot line from the building nearest to it, and from what stands on the ground to the nearest two lot lines."""
    if len(site.lot) < 3:
        return ()
    found = []
    for line in edges(site.lot):
        nearest = [nearest_to_line(building.outline, *line) for building in site.buildings]
        if nearest:
            corner, foot = min(nearest, key=lambda pair: (round(math.dist(*pair), 6), pair))
            found.append(_distance(corner, foot))
    for item in equipment:
        if item.outline and not any(_touches(item, building) for building in site.buildings):
            pairs = sorted((nearest_to_line(item.outline, *line) for line in edges(site.lot)), key=lambda pair: math.dist(*pair))
            found += [_distance(*pair) for pair in pairs[:1]]
    return tuple(dimension for dimension in found if math.dist(dimension.start, dimension.end) > 0.05)


def _distance(start: Point, end: Point) -> PlanDimension:
    return PlanDimension(start, end, feet_and_inches(measured(start, end, "distance to the lot line").number))


def _touches(item: PlanEquipment, building: NamedOutline) -> bool:
    xs, ys = [x for x, _ in building.outline], [y for _, y in building.outline]
    return min(xs) - 1.5 <= item.at[0] <= max(xs) + 1.5 and min(ys) - 1.5 <= item.at[1] <= max(ys) + 1.5


_CLOSE_FT = 4.0


def _close(system: System, site: SiteGeometry, equipment: tuple[PlanEquipment, ...]) -> tuple[Outline, tuple[str, ...]]:
    """Return the corners around equipment at and near the buildings, and the tags shown there; roofs are left to the roof plan."""
    near = [item for item in equipment if any(_near(item.at, building) for building in site.buildings) and not is_on_roof(system, item.tag)]
    if len(near) < 2:
        return (), ()
    points = [point for item in near for point in (item.at, *item.outline)]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    low, high = (min(xs) - _CLOSE_FT, min(ys) - _CLOSE_FT), (max(xs) + _CLOSE_FT, max(ys) + _CLOSE_FT)
    return (low, (high[0], low[1]), high, (low[0], high[1])), tuple(item.tag for item in near)


def _near(at: Point, building: NamedOutline) -> bool:
    xs, ys = [x for x, _ in building.outline], [y for _, y in building.outline]
    return min(xs) - 6.0 <= at[0] <= max(xs) + 6.0 and min(ys) - 6.0 <= at[1] <= max(ys) + 6.0


def is_on_roof(system: System, tag: str) -> bool:
    """Whether equipment of a plan stands on a roof, to be removed or not."""
    place = (system.equipment.get(tag) or system.removed[tag]).place
    return place is not None and "roof" in place.space


def _generator_zones(evaluation: Evaluation, equipment: tuple[PlanEquipment, ...]) -> tuple[PlanZone, ...]:
    """The distance that openings of the house keep from a generator, as the rule judges it."""
    found = []
    for item in equipment:
        finding = finding_of(evaluation, "generator-place", item.tag)
        limit = finding.judgement.limit if finding is not None else None
        if finding is None or limit is None or not item.outline:
            continue
        xs, ys = [x for x, _ in item.outline], [y for _, y in item.outline]
        d = limit.number
        outline = (
            (min(xs) - d, min(ys) - d),
            (max(xs) + d, min(ys) - d),
            (max(xs) + d, max(ys) + d),
            (min(xs) - d, max(ys) + d),
        )
        mark = not_kept(finding.verdict)
        words = (
            f"{feet_and_inches(d)} FREE OF OPENINGS",
            f"{finding.citation}: {comparison(finding.judgement)}{' ' + mark if mark else ''}",
        )
        found.append(PlanZone("clearance", outline, words))
    return tuple(found)


def _working_spaces(evaluation: Evaluation, equipment: tuple[PlanEquipment, ...]) -> tuple[PlanZone, ...]:
    """Return the working space in front of equipment as wide and deep as the rule asks."""
    found = []
    for item in equipment:
        finding = finding_of(evaluation, "working-space", item.tag)
        limits = working_space_limits(finding) if finding is not None else None
        if limits is None or len(item.outline) != 4:
            continue
        depth, width, _ = limits
        found.append(PlanZone("working space", space_before(item.outline, item.facing, width.number / 12, depth.number), ()))
    return tuple(found)


def _notes(evaluation: Evaluation) -> tuple[str, ...]:
    notes = [
        "Not a survey. Lengths are those of the project file. Owner to verify lot lines.",
    ]
    raceways = evaluation.system.raceways.values()
    if any(len(raceway.route) < 2 for raceway in raceways):
        notes.append("Raceway routing is diagrammatic unless dimensioned; field-verify.")
    if raceways:
        notes.append("Raceways are listed on E-603.")
    if any(raceway.underground for raceway in raceways):
        notes.append("Have buried utilities located before digging (call 811).")
    return tuple(notes)


def _missing(system: System, site: SiteGeometry, equipment: tuple[PlanEquipment, ...]) -> tuple[str, ...]:
    found = []
    if len(site.lot) < 3:
        found.append("lot lines")
    if not site.buildings:
        found.append("outlines of buildings")
    kinds = {ground.kind for ground in site.grounds}
    found += [word for word in ("street", "driveway") if word not in kinds]
    shown = {item.tag for item in equipment}
    unplaced = [tag for tag, item in system.equipment.items() if tag not in shown]
    if unplaced:
        found.append(f"places on the plan of {', '.join(unplaced)}")
    if not any(point.kind == "window" for point in site.points):
        found.append("windows")
    return tuple(found)
