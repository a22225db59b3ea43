"""A-101: roof planes, modules, pathways and setbacks, in feet, with the numbers that the rules judged."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.rules.given import MissingFactError
from permitgen.rules.judgement import Judgement, at_least
from permitgen.rules.quantities.module_layout import module_outlines, rectangle_on, setback_in_plan_ft
from permitgen.rules.quantities.plan_distances import measured
from permitgen.rules.quantities.roof_obstructions import OnRoof, clear_spans_ft, clearance_ft, roof_obstructions
from permitgen.rules.quantities.siting_roof import array_area_ft2, free_spans_ft, ridge_of, roof_area_ft2, roof_planes
from permitgen.system.equipment.photovoltaic import PVArray
from permitgen.system.site.compass import Direction, bearing_of
from permitgen.system.site.geometry import along, centroid, contains, edges
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value
from permitgen.views.plans.array_layout import array_dimensions, circuits_of_modules
from permitgen.views.plans.cited import comparison, finding_of, not_kept, rounded
from permitgen.views.plans.parts import Outline, PlanDimension, PlanEquipment, PlanRoute, PlanZone, Point
from permitgen.views.plans.routes import routes_of
from permitgen.views.plans.site import equipment_on_plan, is_on_roof
from permitgen.views.site_geometry import NamedOutline, SiteGeometry, site_geometry_of
from permitgen.views.wording import feet_and_inches, plural, value_text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.evaluation.finding import Finding
    from permitgen.system.site.plan import RoofPlane

NONE = "–"


@dataclass(frozen=True, slots=True)
class RoofPlaneView:
    """One plane: its words, the way water runs off it, its modules one by one, else the outlines of its arrays.

    ``circuits`` names the branch or string of each module; empty where nobody says which takes which.
    """

    name: str
    outline: Outline
    words: tuple[str, ...]
    down: Point
    modules: tuple[Outline, ...]
    arrays: tuple[Outline, ...]
    circuits: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class RoofPlan:
    """Everything on the roof plan. ``rows`` are one for each plane, ``obstruction_rows`` for each thing on it, ``findings`` on access."""

    north_deg: float
    planes: tuple[RoofPlaneView, ...]
    buildings: tuple[Outline, ...]
    ridges: tuple[tuple[Point, Point], ...]
    zones: tuple[PlanZone, ...]
    dimensions: tuple[PlanDimension, ...]
    obstructions: tuple[NamedOutline, ...]
    equipment: tuple[PlanEquipment, ...]
    routes: tuple[PlanRoute, ...]
    street: tuple[str, Point] | None
    rows: tuple[tuple[str, ...], ...]
    obstruction_rows: tuple[tuple[str, ...], ...]
    findings: tuple[str, ...]
    notes: tuple[str, ...]
    missing: tuple[str, ...]
    has_array: bool


def roof_plan_of(evaluation: Evaluation) -> RoofPlan:
    """Return the roof plan of the buildings that carry arrays."""
    system = evaluation.system
    site = site_geometry_of(system)
    arrays = [item for item in system.equipment.values() if isinstance(item, PVArray) and item.on_building]
    missing: list[str] = []
    try:
        known = roof_planes(evaluation.given)
    except MissingFactError as absent:
        missing.append(str(absent))
        known = {}
    carrying = {array.on_building for array in arrays}
    planes = [plane for plane in known.values() if plane.building in carrying and len(plane.outline) > 2]
    if arrays and not planes:
        missing.append("roof planes with outline, pitch and direction")
    views = tuple(_plane(plane, arrays, missing, site.north_deg) for plane in planes)
    zones, dimensions = _limits(evaluation, planes, arrays)
    return RoofPlan(
        north_deg=site.north_deg,
        planes=views,
        buildings=tuple(building.outline for building in site.buildings if building.key in carrying),
        ridges=site.ridges,
        zones=zones,
        dimensions=(*dimensions, *_sides(planes), *array_dimensions(planes)),
        obstructions=site.obstructions,
        equipment=tuple(item for item in equipment_on_plan(system) if is_on_roof(evaluation.system, item.tag)),
        routes=_roof_routes(evaluation),
        street=_street(site, planes),
        rows=tuple(_row(plane, view, site.north_deg) for plane, view in zip(planes, views, strict=True)),
        obstruction_rows=tuple(_obstruction_row(item, planes, zones) for item in site.obstructions),
        findings=_findings(evaluation, arrays, planes),
        notes=_notes(site, views, zones),
        missing=tuple(dict.fromkeys(missing)),
        has_array=bool(arrays),
    )


_NOTES = (
    "The plan shows horizontal lengths. The setback at a ridge is measured along the roof and shows shorter in plan.",
    "The percentage of roof covered is of the whole roof of the building in plan.",
    "Module layout is diagrammatic within the outlines of the project file; the racking layout governs.",
)


def _notes(site: SiteGeometry, planes: Sequence[RoofPlaneView], zones: tuple[PlanZone, ...]) -> tuple[str, ...]:
    notes = [*_NOTES]
    if any(plane.circuits for plane in planes):
        notes.append("The letters in modules name their branch or string.")
    if any(plane.modules and not plane.circuits for plane in planes):
        notes.append("Which modules each branch or string takes is not in the project file.")
    if not site.obstructions:
        notes.append("Vents, chimneys and skylights are not in the project file; pathways are to be kept clear of them.")
    hatched = sum(zone.kind == "pathway" for zone in zones)
    if any(plane.arrays for plane in planes) and hatched:
        notes.append(
            "Hatched strips count as pathways. A strip with a raceway or obstruction in it is not hatched where others are enough."
        )
    return tuple(notes)


def _obstruction_row(item: NamedOutline, planes: list[RoofPlane], zones: tuple[PlanZone, ...]) -> tuple[str, ...]:
    """What it is, where, and how far in plan from modules and from pathways."""
    on = next((plane.name for plane in planes if contains(plane.outline, centroid(item.outline))), NONE)
    arrays = [shape for plane in planes for shape in plane.arrays]
    pathways = [zone.outline for zone in zones if zone.kind == "pathway"]
    found = [clearance_ft(item.outline, others, f"clearance of the {item.kind}") for others in (arrays, pathways)]
    return (item.label or item.kind, on, *(feet_and_inches(value.number) if value is not None else NONE for value in found))


def _plane(plane: RoofPlane, arrays: list[PVArray], missing: list[str], north_deg: float) -> RoofPlaneView:
    words = [f"{plane.name.upper()} ROOF", f"SLOPE {_pitch(plane)}, FACES {_faces(plane, north_deg).upper()}"]
    modules = _modules(plane, arrays, missing) if plane.arrays else ()
    mine = [array for array in arrays if array.roof_planes == (plane.name,)]
    circuits = circuits_of_modules(mine[0], len(modules)) if len(mine) == 1 and modules else ()
    return RoofPlaneView(plane.name, plane.outline, tuple(words), plane.down, modules, plane.arrays, circuits)


def _pitch(plane: RoofPlane) -> str:
    return f"{plane.slope * 12:.3g} IN 12"


def _faces(plane: RoofPlane, north_deg: float) -> str:
    """Return the azimuth of the way down, degrees from true north, with its compass word."""
    bearing = round(bearing_of(plane.down, north_deg)) % 360
    words, degrees = Direction(bearing).words, f"{bearing}°"
    return degrees if words == degrees else f"{words} {degrees}"


def _modules(plane: RoofPlane, arrays: list[PVArray], missing: list[str]) -> tuple[Outline, ...]:
    """Return the modules on a plane that one array names: all of it where it lies here alone, else those told in rows and columns."""
    mine = [array for array in arrays if plane.name in array.roof_planes]
    here = _modules_here(plane, mine)
    if here is None:
        missing.append(f"how many modules lie on the {plane.name} roof")
        return ()
    array, count = here
    module = array.module
    if module is None or module.length_in is None or module.width_in is None or count is None:
        missing.append(f"count and size of the modules of {array.tag}")
        return ()
    found = module_outlines(plane, count, module.length_in.number, module.width_in.number)
    if not found:
        size = f"{value_text(module.length_in)} x {value_text(module.width_in)}"
        missing.append(f"an outline of {array.tag} on the {plane.name} roof that holds {count} modules of {size}")
    return found


def _modules_here(plane: RoofPlane, mine: list[PVArray]) -> tuple[PVArray, int | None] | None:
    """Return the one array of a plane with how many of its modules lie there; None where several arrays or planes share them."""
    if len(mine) != 1:
        return None
    array, whole = mine[0], mine[0].all_modules
    if array.roof_planes == (plane.name,):
        return array, int(whole.number) if whole is not None else plane.told_modules
    return (array, plane.told_modules) if plane.told_modules is not None else None


def _limits(
    evaluation: Evaluation, planes: list[RoofPlane], arrays: list[PVArray]
) -> tuple[tuple[PlanZone, ...], tuple[PlanDimension, ...]]:
    """Pathways and setbacks, with the limits that the findings carry."""
    zones: list[PlanZone] = []
    dimensions: list[PlanDimension] = []
    for array in arrays:
        access = finding_of(evaluation, "roof-pathways", array.tag)
        if access is not None:
            _pathways(access, planes, _obstructions(evaluation, array), zones, dimensions)
        ridge = finding_of(evaluation, "roof-ridge-setback", array.tag)
        if ridge is not None:
            _setbacks(ridge, planes, array, zones, dimensions)
    return tuple(dict.fromkeys(zones)), tuple(dict.fromkeys(dimensions))


def _obstructions(evaluation: Evaluation, array: PVArray) -> tuple[OnRoof, ...]:
    """Return what stands on the roof of an array; nothing where its place is not known, which its rule then says."""
    try:
        return roof_obstructions(evaluation.given, array.on_building)
    except MissingFactError:
        return ()


def _width_limit(judgement: Judgement) -> Value | None:
    limits = [part.limit for part in judgement.parts if part.limit is not None and part.limit.unit == "in"]
    return limits[0] if limits else None


def _pathways(
    finding: Finding, planes: list[RoofPlane], obstructions: tuple[OnRoof, ...], zones: list[PlanZone], dimensions: list[PlanDimension]
) -> None:
    needed = _width_limit(finding.judgement)
    if needed is None:
        return
    for plane in planes:
        spans = _counted(plane, needed, obstructions)
        for low, high in _hatched(plane, spans, needed):
            bottom, top = along(plane.outline, plane.up)
            zone = rectangle_on(plane, low, bottom, high - low, top - bottom)
            zones.append(PlanZone("pathway", zone, ()))
            at = bottom + (top - bottom) * 0.3
            start, end = (rectangle_on(plane, edge, at, 0.0, 0.0)[0] for edge in (low, high))
            found = _inches(max(right - left for left, right in spans if left == low))
            dimensions.append(PlanDimension(start, end, f"PATHWAY {_of_full(high - low, found)} ≥ {rounded(needed)}, {finding.citation}"))


def _counted(plane: RoofPlane, needed: Value, obstructions: tuple[OnRoof, ...]) -> list[tuple[float, float]]:
    """Return the strips wide enough that nothing stands in; where there is none, those that modules alone leave wide enough."""
    for spans in (clear_spans_ft(plane, obstructions), free_spans_ft(plane)):
        wide = [span for span in spans if at_least(_inches(span[1] - span[0]), needed)]
        if wide:
            return wide
    return []


def _hatched(plane: RoofPlane, spans: list[tuple[float, float]], needed: Value) -> list[tuple[float, float]]:
    """Return what to hatch: each strip; of a much wider one only the part asked for, at the gable; one on a plane without modules."""
    shown = spans if plane.arrays else spans[:1]
    return [(low, high if high - low < needed.number / 6 else low + needed.number / 12) for low, high in shown]


def _of_full(shown: float, full: Value) -> str:
    """Return the width of a strip; where only a part of it is hatched, both."""
    return rounded(full) if abs(full.number - shown * 12) < 0.05 else f"{rounded(_inches(shown))} OF {rounded(full)} FREE"


def _inches(feet: float) -> Value:
    return Value(feet * 12, "in", FromSystem("site plan"), "w", "width of the pathway")


def _setbacks(finding: Finding, planes: list[RoofPlane], array: PVArray, zones: list[PlanZone], dimensions: list[PlanDimension]) -> None:
    limit = finding.judgement.limit
    if limit is None:
        return
    mark = not_kept(finding.verdict)
    for plane in planes:
        ridge = ridge_of(plane)
        if ridge is None:
            continue
        low, high = along(ridge, plane.across)
        _, top = along(plane.outline, plane.up)
        deep = setback_in_plan_ft(limit.number, plane.slope)
        carries = plane.name in array.roof_planes
        words = (f"RIDGE SETBACK {rounded(limit)} ALONG ROOF, {finding.citation}",) if carries else ()
        zones.append(PlanZone("ridge setback", rectangle_on(plane, low, top - deep, high - low, deep), words))
        if carries and plane.arrays and finding.judgement.computed is not None:
            shape = max(plane.arrays, key=lambda outline: along(outline, plane.up)[1])
            a_low, a_high = along(shape, plane.across)
            at = a_low + (a_high - a_low) * 0.72
            start, end = (rectangle_on(plane, at, height, 0.0, 0.0)[0] for height in (along(shape, plane.up)[1], top))
            dimensions.append(PlanDimension(start, end, f"{comparison(finding.judgement)} ALONG ROOF{' ' + mark if mark else ''}"))


def _has_level_edge(plane: RoofPlane) -> bool:
    """Whether an edge runs along the eave: otherwise outline and direction of the plane do not agree, and no side can be measured."""
    return any(abs((b[0] - a[0]) * plane.up[0] + (b[1] - a[1]) * plane.up[1]) < 0.1 for a, b in edges(plane.outline))


def _sides(planes: list[RoofPlane]) -> tuple[PlanDimension, ...]:
    """Length along the eave and depth in plan of each plane, outside the roof."""
    if not planes:
        return ()
    middle = centroid([point for plane in planes for point in plane.outline])
    found = []
    for plane in planes:
        if not _has_level_edge(plane):
            continue
        low, high = along(plane.outline, plane.across)
        bottom, top = along(plane.outline, plane.up)
        corners = rectangle_on(plane, low, bottom, high - low, top - bottom)
        for a, b in ((corners[0], corners[1]), (corners[1], corners[2])):
            found.append(PlanDimension(a, b, feet_and_inches(measured(a, b, f"side of the {plane.name} roof").number), middle))
    return tuple(found)


def _roof_routes(evaluation: Evaluation) -> tuple[PlanRoute, ...]:
    raceways = evaluation.system.raceways
    found = []
    for route in routes_of(evaluation):
        raised = [raceways[tag] for tag in route.tag.split("/") if raceways[tag].above_roof_in is not None]
        if raised:
            heights = tuple(
                f"{raceway.tag}: {rounded(raceway.above_roof_in)} ABOVE ROOF" for raceway in raised if raceway.above_roof_in is not None
            )
            found.append(PlanRoute(route.tag, route.points, (*route.words, *heights), is_underground=False))
    return tuple(found)


def _street(site: SiteGeometry, planes: list[RoofPlane]) -> tuple[str, Point] | None:
    """Return the street's name and the direction to it from the roof."""
    street = next((ground for ground in site.grounds if ground.kind in ("street", "road")), None)
    if street is None or not planes:
        return None
    middle = centroid([point for plane in planes for point in plane.outline])
    there = centroid(street.outline)
    dx, dy = there[0] - middle[0], there[1] - middle[1]
    direction = (0.0, 1.0 if dy > 0 else -1.0) if abs(dy) >= abs(dx) else (1.0 if dx > 0 else -1.0, 0.0)
    return (street.label or "STREET", direction)


def _row(plane: RoofPlane, view: RoofPlaneView, north_deg: float) -> tuple[str, ...]:
    count = str(len(view.modules)) if view.modules else ("not stated" if plane.arrays else "none")
    return (plane.name, plane.building, _pitch(plane), _faces(plane, north_deg), count)


def _findings(evaluation: Evaluation, arrays: list[PVArray], planes: list[RoofPlane]) -> tuple[str, ...]:
    words: list[str] = []
    for array in arrays:
        for rule in ("roof-pathways", "roof-pathway-obstructions", "roof-ridge-setback"):
            found = finding_of(evaluation, rule, array.tag)
            if found is None:
                continue
            parts = [part.message for part in found.judgement.parts] or [found.judgement.message]
            mark = not_kept(found.verdict)
            words += [f"{text} ({found.citation}){'. ' + mark if mark else ''}" for text in dict.fromkeys(parts)]
    for building in dict.fromkeys(plane.building for plane in planes):
        covered, whole = array_area_ft2(evaluation.given, building), roof_area_ft2(evaluation.given, building)
        words.append(f"Arrays on {building}: {value_text(covered)} in plan of {value_text(whole)} roof")
    count = sum(int(value.number) for array in arrays if (value := array.all_modules) is not None)
    if count:
        words.append(f"{plural(count, 'module')} in all")
    return tuple(words)
