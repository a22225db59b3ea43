"""The site plan, from its model: every part with its line, every roof plane with the way it falls."""

from __future__ import annotations

from permitgen.project.cursor import Cursor
from permitgen.project.measured import Measured
from permitgen.project.named_walls import north_of, wall_named
from permitgen.project.place_building import structure_named, usual_roof
from permitgen.project.sections.plan import BuildingUseModel, FeatureModel, PlanModel, RoofPlaneModel
from permitgen.project.sections.project_file import ProjectFile
from permitgen.project.sections.streets import page_direction
from permitgen.project.shown_walls import side_of_shown
from permitgen.system.site.building import ALONE, DWELLING_USES, NOTHING, DwellingUnit, StatedBuilding
from permitgen.system.site.compass import Direction
from permitgen.system.site.facing import fall_from_eave, fall_toward
from permitgen.system.site.geometry import Outline, Point
from permitgen.system.site.plan import Bollard, Building, Feature, Lot, Obstruction, Opening, Plan, RoofPlane, Room, ShownWalls, Street


def stated_buildings(site: Cursor, models: ProjectFile) -> tuple[StatedBuilding, ...]:
    """Build what the file says of each building, and the poles and pedestals that places name without naming a building."""
    stated = {
        name: StatedBuilding(
            name=name,
            use=entry.use,
            attached_to=ALONE if "attached_to" in entry.absent else entry.attached_to,
            sprinklers=entry.sprinklers,
            units=_units(site.child("buildings", name, model=entry), name, entry),
            at=site.line("buildings", name),
        )
        for name, entry in models.site.buildings.items()
    }
    places = [item.place for item in models.equipment.values() if item.place is not None]
    for place in places:
        use = structure_named(place)
        if use:
            stated.setdefault(place.space.casefold(), StatedBuilding(name=place.space.casefold(), use=use, attached_to=ALONE))
    return tuple(stated.values())


def _units(at: Cursor, building: str, entry: BuildingUseModel) -> tuple[DwellingUnit, ...]:
    found = []
    for name, unit in entry.units.items():
        own = at.child("units", name, model=unit)
        area, facts = own.value("floor_area", f"floor area of unit {name}"), own.facts(frozenset({"floor_area"}))
        line = at.line("units", name)
        found.append(
            DwellingUnit(
                name=name,
                building=building,
                served_by="" if unit.served_by == NOTHING else unit.served_by,
                floor_area_ft2=area,
                facts=facts,
                at=line,
            )
        )
    return tuple(found)


def plan_of(site: Cursor, models: ProjectFile) -> Plan:
    """Build the plan; a roof plane without a building lies on the only one there is."""
    given = models.site.plan
    if given is None:
        return Plan()
    at = site.child("plan")
    north_deg = north_of(given)
    openings = [(index, entry) for index, entry in enumerate(given.features) if _is_opening(entry)]
    return Plan(
        north_deg=north_deg,
        has_front=given.front_faces is not None,
        lot=Lot(outline=_outline(given.lot), at=at.line("lot")) if given.lot else None,
        buildings=tuple(
            Building(
                name=name,
                outline=_outline(entry.outline),
                label=entry.label,
                dwelling=_is_dwelling(entry.dwelling, models, name),
                at=at.line("buildings", name),
            )
            for name, entry in given.buildings.items()
        ),
        rooms=tuple(
            Room(
                name=name,
                building=building,
                space=room.space,
                outline=_outline(room.outline),
                at=at.line("buildings", building, "rooms", name),
            )
            for building, entry in given.buildings.items()
            for name, room in entry.rooms.items()
        ),
        roof_planes=tuple(_roof_plane(at, name, entry, north_deg, models) for name, entry in given.roof_planes.items()),
        openings=tuple(
            Opening(kind=entry.kind, point=_point(entry.at), width_ft=_feet(entry.width), label=entry.label, at=at.line("features", index))
            for index, entry in openings
        ),
        openings_shown=tuple(_shown_walls(at, name, by, given) for name, by in given.openings_shown.items()),
        features=tuple(
            Feature(
                kind=entry.kind,
                outline=_outline(entry.outline),
                point=_point(entry.at) if entry.at else None,
                width_ft=_feet(entry.width),
                label=entry.label,
                at=at.line("features", index),
            )
            for index, entry in enumerate(given.features)
            if not _is_opening(entry)
        ),
        features_shown=tuple(name.casefold() for name in given.features_shown),
        escape_openings_above_roofs=given.escape_openings_above_roofs,
        obstructions=tuple(
            Obstruction(
                kind=entry.kind,
                stated_outline=_outline(entry.outline),
                point=_point(entry.at) if entry.at else None,
                diameter_ft=_feet(entry.diameter),
                label=entry.label,
                at=at.line("obstructions", index),
            )
            for index, entry in enumerate(given.obstructions)
        ),
        bollards=tuple(
            Bollard(point=_point(entry.at), diameter_ft=_feet(entry.diameter), height_ft=_feet(entry.height), at=at.line("bollards", index))
            for index, entry in enumerate(given.bollards)
        ),
        vicinity=tuple(
            Street(
                name=entry.name,
                toward_deg=toward,
                crosses=entry.crosses,
                distance_ft=_feet(entry.distance),
                at=at.line("vicinity", index),
            )
            for index, entry in enumerate(given.vicinity)
            if (toward := page_direction(entry.side if entry.side is not None else entry.toward, north_deg)) is not None
        ),
    )


def _is_dwelling(drawn: bool | None, models: ProjectFile, name: str) -> bool | None:  # noqa: FBT001 - as the plan says it
    """Whether a building is a dwelling, by the plan, else by its use; None where neither says."""
    use = models.site.buildings[name].use if name in models.site.buildings else ""
    return use in DWELLING_USES if drawn is None and use else drawn


def _roof_plane(at: Cursor, name: str, entry: RoofPlaneModel, north_deg: float, models: ProjectFile) -> RoofPlane:
    outline = _outline(entry.outline)
    fall, unknown = None, ""
    if entry.eave:
        fall = fall_from_eave(outline, (_point(entry.eave[0]), _point(entry.eave[1])))
        unknown = f"eave of the roof plane {name} at its edge"
    elif isinstance(entry.faces, Direction):
        fall, why = fall_toward(outline, entry.faces, north_deg)
        unknown = f"eave of the roof plane {name}: {why}"
    return RoofPlane(
        name=name,
        building=entry.building or usual_roof(models),
        outline=outline,
        stated_slope=entry.pitch,
        fall=fall,
        arrays=tuple(_outline(shape) for shape in entry.arrays),
        faces=entry.faces if isinstance(entry.faces, Direction) else None,
        unknown_fall=unknown if fall is None else "",
        told_modules=_told_modules(entry),
        at=at.line(*_written(name, entry, models)),
    )


def _told_modules(entry: RoofPlaneModel) -> int | None:
    """Return how many modules the rows and columns of a plane hold; None where they do not tell all of its outlines."""
    counts = [(each.rows, each.columns) for each in entry.layout]
    if not counts or len(counts) != len(entry.arrays):
        return None
    return sum(int(rows.number * columns.number) for rows, columns in counts if rows is not None and columns is not None)


def _written(name: str, entry: RoofPlaneModel, models: ProjectFile) -> tuple[str, ...]:
    """Return where a roof plane is written below the plan: as the roof of its building where that tells it."""
    building = models.site.plan.buildings.get(entry.building) if models.site.plan is not None else None
    is_told = building is not None and building.roof is not None and name.startswith(f"{entry.building} ")
    return ("buildings", entry.building, "roof") if is_told else ("roof_planes", name)


def _shown_walls(at: Cursor, name: str, by: str, given: PlanModel) -> ShownWalls:
    building, side = wall_named(name, [*given.buildings])
    return ShownWalls(building, side_of_shown(given, side), by, at.line("openings_shown", name))


def _is_opening(entry: FeatureModel) -> bool:
    return bool(entry.at) and ("door" in entry.kind or "window" in entry.kind)


def _outline(corners: list[list[float]]) -> Outline:
    return tuple(_point(corner) for corner in corners)


def _point(pair: list[float]) -> Point:
    return (pair[0], pair[1])


def _feet(length: Measured | None) -> float | None:
    return length.number if length is not None else None
