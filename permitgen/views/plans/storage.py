"""A-401: where storage stands, at large scale, with the distances and energies that the rules judged."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from permitgen.rules.quantities.plan_distances import foot_on, measured
from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
from permitgen.system.site.geometry import edges
from permitgen.views.plans.cited import comparison, depth_in_front, finding_of, is_as_drawn, not_kept, spacing_words
from permitgen.views.plans.parts import PlanDimension, PlanEquipment, PlanZone, Point
from permitgen.views.plans.site import equipment_on_plan, is_on_roof
from permitgen.views.site_geometry import NamedOutline, NamedPoint, SiteGeometry, site_geometry_of
from permitgen.views.wording import feet_and_inches, plural, value_text

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.rules.judgement import Judgement
    from permitgen.system.site.plan import Bollard

_RULES = (
    ("storage-place", "place"),
    ("storage-spacing", "spacing"),
    ("storage-openings", "openings"),
    ("storage-vehicle-impact", "vehicles"),
    ("storage-fire-detection", "fire detection"),
    ("working-space", "space in front"),
)
_AROUND_FT = 5.0


@dataclass(frozen=True, slots=True)
class StoragePlan:
    """Everything on the storage plan.

    ``site`` holds the building in which storage stands, its openings and the grounds; ``around`` are corners around the whole room,
    ``close`` around the units alone; ``rows`` one for each judged requirement.
    """

    site: SiteGeometry
    units: tuple[PlanEquipment, ...]
    others: tuple[PlanEquipment, ...]
    around: tuple[Point, ...]
    close: tuple[Point, ...]
    zones: tuple[PlanZone, ...]
    dimensions: tuple[PlanDimension, ...]
    unit_rows: tuple[tuple[str, ...], ...]
    rows: tuple[tuple[str, str, str], ...]
    notes: tuple[str, ...]
    missing: tuple[str, ...]
    has_storage: bool


def storage_plan_of(evaluation: Evaluation) -> StoragePlan:
    """Return the plan of the space in which storage stands."""
    system = evaluation.system
    site = site_geometry_of(system)
    storage = [item for item in system.equipment.values() if isinstance(item, EnergyStorageSystem)]
    tags = {item.tag for item in storage}
    placed = equipment_on_plan(system)
    energies = {item.tag: value_text(item.energy_kwh) for item in storage if item.energy_kwh is not None}
    units = tuple(replace(item, words=(energies[item.tag],) if item.tag in energies else ()) for item in placed if item.tag in tags)
    buildings = tuple(building for building in site.buildings if _holds_any(building, units))
    around = _around(buildings, units)
    points = tuple(point for point in site.points if _near(point.at, around))
    return StoragePlan(
        site=replace(site, lot=(), buildings=buildings, ridges=(), arrays=(), obstructions=(), points=points),
        units=units,
        others=tuple(
            item for item in placed if item.tag not in tags and _near(item.at, around) and not is_on_roof(evaluation.system, item.tag)
        ),
        around=around,
        close=_around((), units),
        zones=_fronts(evaluation, units),
        dimensions=(*_between(evaluation, units), *_to_openings(units, points), *_to_bollards(units, site.bollards)),
        unit_rows=tuple(_unit_row(item) for item in storage),
        rows=_rows(evaluation, [item.tag for item in storage]),
        notes=_notes(evaluation, site, units),
        missing=_missing(storage, units, points),
        has_storage=bool(storage),
    )


def _holds_any(building: NamedOutline, units: tuple[PlanEquipment, ...]) -> bool:
    xs, ys = [x for x, _ in building.outline], [y for _, y in building.outline]
    return any(min(xs) - 2 <= unit.at[0] <= max(xs) + 2 and min(ys) - 2 <= unit.at[1] <= max(ys) + 2 for unit in units)


def _around(buildings: tuple[NamedOutline, ...], units: tuple[PlanEquipment, ...]) -> tuple[Point, ...]:
    """Return the corners of what is shown: the smallest building that holds storage, else five feet around the units."""
    if not units:
        return ()
    own = [point for unit in units for point in (*unit.outline, unit.at)]
    small = min(buildings, key=lambda building: _reach(building.outline), default=None)
    if small is not None and _reach(small.outline) <= 40.0:
        own += list(small.outline)
        margin = 2.0
    else:
        margin = _AROUND_FT
    xs, ys = [x for x, _ in own], [y for _, y in own]
    low, high = (min(xs) - margin, min(ys) - margin), (max(xs) + margin, max(ys) + margin)
    return (low, (high[0], low[1]), high, (low[0], high[1]))


def _reach(outline: tuple[Point, ...]) -> float:
    xs, ys = [x for x, _ in outline], [y for _, y in outline]
    return max(max(xs) - min(xs), max(ys) - min(ys))


def _near(point: Point, around: tuple[Point, ...]) -> bool:
    return bool(around) and around[0][0] <= point[0] <= around[2][0] and around[0][1] <= point[1] <= around[2][1]


def _fronts(evaluation: Evaluation, units: tuple[PlanEquipment, ...]) -> tuple[PlanZone, ...]:
    """The depth in front of each unit, as the rule on working space asks for it."""
    found = []
    for unit in units:
        finding = finding_of(evaluation, "working-space", unit.tag)
        depth = depth_in_front(finding) if finding is not None else None
        if depth is None or depth.limit is None or len(unit.outline) != 4:
            continue
        _, front_a, front_b, _ = unit.outline
        reach = (unit.facing[0] * depth.limit.number, unit.facing[1] * depth.limit.number)
        outline = (front_a, front_b, (front_b[0] + reach[0], front_b[1] + reach[1]), (front_a[0] + reach[0], front_a[1] + reach[1]))
        found.append(PlanZone("working space", outline, (comparison(depth),)))
    return tuple(found)


def _sides(units: tuple[PlanEquipment, ...]) -> list[tuple[PlanEquipment, PlanEquipment, Point, Point]]:
    """Return neighbors with the nearest points of their outlines."""
    found = []
    for one, other in itertools.pairwise(units):
        if one.outline and other.outline:
            pairs = [(a, b) for a in one.outline for b in other.outline]
            start, end = min(pairs, key=lambda pair: (round(math.dist(*pair), 6), pair))
            found.append((one, other, start, end))
    return found


def _between(evaluation: Evaluation, units: tuple[PlanEquipment, ...]) -> tuple[PlanDimension, ...]:
    found = []
    for one, _, start, end in _sides(units):
        drawn = measured(start, end, "between units").number
        finding = finding_of(evaluation, "storage-spacing", one.tag)
        is_judged = finding is not None and finding.judgement.computed is not None
        words = spacing_words(evaluation, finding, drawn) if is_judged and finding is not None else feet_and_inches(drawn)
        found.append(PlanDimension(start, end, words))
    return tuple(found)


def _to_openings(units: tuple[PlanEquipment, ...], points: tuple[NamedPoint, ...]) -> tuple[PlanDimension, ...]:
    """The distances of the two nearest openings to the nearest unit, as the plan gives them: to a jamb, else to the middle."""
    found = []
    corners = [corner for unit in units for corner in unit.outline]
    for opening in points:
        if opening.is_opening and corners:
            pairs = [(corner, end) for corner in corners for end in opening.ends or (opening.at,)]
            corner, end = min(pairs, key=lambda pair: (round(math.dist(*pair), 6), pair))
            found.append(PlanDimension(corner, end, feet_and_inches(measured(corner, end, "to the opening").number)))
    nearest = sorted(found, key=lambda dimension: math.dist(dimension.start, dimension.end))
    return tuple(nearest[:2])


def _to_bollards(units: tuple[PlanEquipment, ...], bollards: tuple[Bollard, ...]) -> tuple[PlanDimension, ...]:
    """The clear distance of the bollard nearest to a unit, and the first two bollards center to center."""
    pairs = [
        (foot_on(bollard.point, *edge), bollard) for bollard in bollards for unit in units if unit.outline for edge in edges(unit.outline)
    ]
    if not pairs:
        return ()
    foot, bollard = min(pairs, key=lambda pair: (round(math.dist(pair[0], pair[1].point), 6), pair[0]))
    whole = math.dist(foot, bollard.point)
    share = (bollard.diameter_ft or 0.0) / 2 / whole if whole else 0.0
    face = (bollard.point[0] + (foot[0] - bollard.point[0]) * share, bollard.point[1] + (foot[1] - bollard.point[1]) * share)
    found = [PlanDimension(face, foot, feet_and_inches(measured(face, foot, "to the bollard").number))]
    for one, other in list(itertools.pairwise(bollards))[:1]:
        apart = measured(one.point, other.point, "between bollards")
        found.append(PlanDimension(one.point, other.point, feet_and_inches(apart.number), foot))
    return tuple(found)


def _unit_row(item: EnergyStorageSystem) -> tuple[str, ...]:
    size = [value_text(value) for name in ("width", "height", "depth") if (value := item.fact(name)) is not None]
    return (
        item.tag,
        item.name,
        _energy_text(item),
        item.chemistry or "not stated",
        " x ".join(size) if len(size) == 3 else "not stated",
    )


def _energy_text(item: EnergyStorageSystem) -> str:
    total, each = item.energy_kwh, item.unit_energy_kwh
    if total is None:
        return "not stated"
    return value_text(total) if item.unit_count == 1 or each is None else f"{item.unit_count} x {value_text(each)} = {value_text(total)}"


def _rows(evaluation: Evaluation, tags: list[str]) -> tuple[tuple[str, str, str], ...]:
    rows: list[tuple[str, str, str]] = []
    for tag in tags:
        for rule, name in _RULES:
            finding = finding_of(evaluation, rule, tag)
            if finding is not None:
                said = _said(finding.judgement) if rule != "working-space" else "; ".join(map(_said, finding.judgement.parts))
                rows.append((tag, f"{name}: {said}", finding.citation))
    energy = finding_of(evaluation, "storage-energy", "system")
    if energy is not None:
        parts = energy.judgement.parts or (energy.judgement,)
        rows += [
            ("all" if ":" not in part.message else part.message.partition(":")[0], f"energy: {_energy(part)}", energy.citation)
            for part in parts
        ]
    return tuple(rows)


def _said(judgement: Judgement) -> str:
    mark = not_kept(judgement.verdict)
    text = comparison(judgement) or judgement.message.rpartition(": ")[2]
    return f"{text}{'. ' + mark if mark else ''}"


def _energy(part: Judgement) -> str:
    place = "" if ":" in part.message else part.message.partition(", ")[2]
    return f"{_said(part)}{', ' + place if place else ''}"


def _notes(evaluation: Evaluation, site: SiteGeometry, units: tuple[PlanEquipment, ...]) -> tuple[str, ...]:
    notes = [
        "Positions are those of the project file; the units' installation instructions govern where they require more.",
        "Hatched: working space, provided and required.",
    ]
    items = (evaluation.system.equipment[unit.tag] for unit in units)
    several = [item for item in items if isinstance(item, EnergyStorageSystem) and item.unit_count != 1]
    notes += [f"{item.tag}: {item.unit_count or 'an unknown number of'} units, drawn as one." for item in several]
    if any(point.is_opening and point.width_ft is None for point in site.points):
        notes.append("A diamond marks the center of an opening whose width is not in the project file.")
    for one, other, start, end in _sides(units):
        place = evaluation.system.equipment[one.tag].place
        stated = place.fact("to_next_unit") if place is not None else None
        found = measured(start, end, "between units")
        if stated is not None and not is_as_drawn(stated, found.number):
            notes.append(
                f"{one.tag} to {other.tag}: {feet_and_inches(found.number)} on the plan, {value_text(stated)} stated; field-verify."
            )
    protection = {place.word("vehicle_protection") for unit in units if (place := evaluation.system.equipment[unit.tag].place) is not None}
    if "bollard" in protection and not site.bollards:
        notes.append("Bollards in front of the units per AHJ; their locations are not in the project file and not drawn.")
    if site.bollards:
        notes.append(f"Black discs: {plural(len(site.bollards), 'bollard')}{_bollard_sizes(evaluation)}, installed per AHJ.")
    detection = sorted(
        {place.word("fire_detection") for unit in units if (place := evaluation.system.equipment[unit.tag].place) is not None}
        - {"", "none"}
    )
    notes += [f"{kind[0].upper()}{kind[1:]} in the space; locate per listing." for kind in detection]
    return tuple(notes)


def _bollard_sizes(evaluation: Evaluation) -> str:
    """Return the smallest diameter and height that the project states of bollards."""
    bollards = evaluation.system.site.plan.bollards
    sizes = (([b.diameter_ft for b in bollards], "in diameter"), ([b.height_ft for b in bollards], "tall"))
    found = []
    for lengths, words in sizes:
        stated = [length for length in lengths if length is not None]
        if stated:
            found.append(f"{feet_and_inches(min(stated))} {words}")
    return f", {', '.join(found)}" if found else ""


def _missing(storage: list[EnergyStorageSystem], units: tuple[PlanEquipment, ...], points: tuple[NamedPoint, ...]) -> tuple[str, ...]:
    shown = {unit.tag for unit in units}
    unplaced = [item.tag for item in storage if item.tag not in shown]
    found = [f"places on the plan of {', '.join(unplaced)}"] if unplaced else []
    unsized = [unit.tag for unit in units if not unit.outline]
    if unsized:
        found.append(f"width, depth or direction of {', '.join(unsized)}")
    if units and not any("door" in point.kind or "window" in point.kind for point in points):
        found.append("doors and windows near the units")
    return tuple(found)
