"""Roof planes that a building tells by its ridge and pitch."""

from __future__ import annotations

from permitgen.project.named_walls import ToldWronglyError
from permitgen.project.sections.plan import BuildingModel, PlanModel, RoofPlaneModel
from permitgen.project.sections.told_places import RoofModel
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import quoted
from permitgen.system.site.roof_shapes import Rectangle, ToldPlane, gable, hip, rectangle_of

_OF_A_DRAWN_PLANE = ("outline", "pitch", "faces", "eave", "building")


def planes_told(plan: PlanModel) -> tuple[dict[str, RoofPlaneModel], list[tuple[tuple[str, ...], ToldWronglyError]]]:
    """Return all roof planes of a plan, told and drawn, and (place below the plan, fault) of what is told wrongly.

    A told plane is called by building and side; what the file says under that name lies on it.
    """
    told: dict[str, RoofPlaneModel] = {}
    faults: list[tuple[tuple[str, ...], ToldWronglyError]] = []
    for name, drawn in plan.buildings.items():
        try:
            planes = _planes(drawn.roof, drawn) if drawn.roof is not None else ()
        except ToldWronglyError as error:
            faults.append((("buildings", name), error))
            continue
        told |= {plane_name(name, plane.side): _model(name, drawn, plane) for plane in planes}
    for name, stated in plan.roof_planes.items():
        fault = _fault_of(name, stated, told)
        if fault is not None:
            faults.append((("roof_planes", name), fault))
    drawn_planes = {
        name: stated
        if stated.outline or name not in told
        else told[name].model_copy(update={"arrays": stated.arrays, "layout": stated.layout})
        for name, stated in plan.roof_planes.items()
    }
    return {**drawn_planes, **{name: plane for name, plane in told.items() if name not in drawn_planes}}, faults


def plane_name(building: str, side: str) -> str:
    """Return what a told plane is called."""
    return f"{building} {side}"


def _fault_of(name: str, stated: RoofPlaneModel, told: dict[str, RoofPlaneModel]) -> ToldWronglyError | None:
    if name not in told:
        if stated.outline:
            return None
        roofs = f", and no roof that a building tells has the plane {quoted(name)}{did_you_mean(name, told)}" if told else ""
        return ToldWronglyError(f"the roof plane has no outline{roofs or '; expected its corners, or a roof of its building'}", at_key=True)
    twice = next((key for key in _OF_A_DRAWN_PLANE if getattr(stated, key)), "")
    if twice:
        return ToldWronglyError(f"the roof of {told[name].building} tells this plane already; expected its arrays or layout only", twice)
    return None


def _model(name: str, drawn: BuildingModel, plane: ToldPlane) -> RoofPlaneModel:
    return RoofPlaneModel(
        building=name,
        outline=[[x, y] for x, y in plane.outline],
        pitch=drawn.roof.pitch if drawn.roof is not None else None,
        eave=[[x, y] for x, y in plane.eave],
    )


def _planes(roof: RoofModel, drawn: BuildingModel) -> tuple[ToldPlane, ...]:
    walls = rectangle_of(tuple((x, y) for x, y in drawn.outline))
    if walls is None:
        expected = "expected roof_planes with their corners in place of roof"
        raise ToldWronglyError(
            f"a ridge tells the roof of a building of four corners square to the page only; {expected}", "roof", at_key=True
        )
    eave = roof.eave_overhang.number if roof.eave_overhang is not None else 0.0
    rake = roof.rake_overhang.number if roof.rake_overhang is not None else 0.0
    is_across = _is_across(roof, walls)
    if roof.shape != "hip":
        return gable(walls, ridge_across=is_across, eave_ft=eave, rake_ft=rake)
    if rake:
        raise ToldWronglyError("a hip roof has no rakes; expected eave_overhang alone", "roof", "rake_overhang")
    width, depth = walls.right - walls.left, walls.back - walls.front
    if width != depth and is_across != (width > depth):
        raise ToldWronglyError(
            "a hip roof of equal pitches has its ridge along the longer side; expected along the length", "roof", "ridge"
        )
    return hip(walls, eave_ft=eave)


def _is_across(roof: RoofModel, walls: Rectangle) -> bool:
    """Whether the ridge runs from left to right."""
    width, depth = walls.right - walls.left, walls.back - walls.front
    if roof.ridge != "along the length":
        return roof.ridge == "left to right"
    if width == depth and roof.shape != "hip":
        raise ToldWronglyError("the building is as wide as deep; expected ridge: left to right or front to back", "roof", "ridge")
    return width >= depth
