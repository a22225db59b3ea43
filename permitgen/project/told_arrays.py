"""Modules told in rows and columns become the outlines in plan that they cover."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.project.named_walls import NamedWall, ToldWronglyError, Walls
from permitgen.project.sections.power_sources import ModuleModel, PVArrayModel
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import quoted
from permitgen.system.site.compass import Direction
from permitgen.system.site.facing import fall_from_eave, fall_toward
from permitgen.system.site.geometry import Outline, Point, along

if TYPE_CHECKING:
    from permitgen.project.measured import Measured
    from permitgen.project.sections.plan import RoofPlaneModel
    from permitgen.project.sections.project_file import ProjectFile
    from permitgen.project.sections.told_places import LayoutModel

_LEVEL_FT = 0.05
_LESS = "expected the outlines of the arrays in place of layout"
Arrays = Mapping[str, PVArrayModel]


@dataclass(frozen=True, slots=True)
class _Frame:
    """A roof plane whose fall and pitch are known: unit vectors in plan, its eave from end to end, and plan length of one foot of roof."""

    up: Point
    across: Point
    eave: NamedWall
    bottom: float
    top: float
    plan_share: float


def arrays_of(models: ProjectFile) -> dict[str, PVArrayModel]:
    """Return the arrays of a file by tag."""
    return {tag: item for tag, item in models.equipment.items() if isinstance(item, PVArrayModel)}


def outline_of(layout: LayoutModel, name: str, plane: RoofPlaneModel, walls: Walls, models: ProjectFile) -> list[list[float]]:
    """Return the corners in plan of modules in rows and columns.

    Raises:
        ToldWronglyError: plane, module or distances do not tell where they lie.
    """
    frame = _frame(name, plane, walls)
    size = _size(layout, _module(layout, name, models))
    near, far = walls.corner(frame.eave, _end(layout.from_), "from")
    start = _known(layout.distance, "distance")
    ahead = ((far[0] - near[0]) / frame.eave.length_ft, (far[1] - near[1]) / frame.eave.length_ft)
    ends = sorted(_dot(near, frame.across) + _dot(ahead, frame.across) * reach for reach in (start, start + size[0]))
    high = size[1] * frame.plan_share
    if (layout.above_eave is None) == (layout.below_ridge is None):
        found = "both" if layout.above_eave is not None else "neither"
        raise ToldWronglyError(f"expected the distance above the eave or below the ridge; found {found}", "above_eave", at_key=True)
    if layout.above_eave is not None:
        low = frame.bottom + layout.above_eave.number * frame.plan_share
    else:
        low = frame.top - _known(layout.below_ridge, "below_ridge") * frame.plan_share - high
    corners = ((ends[0], low), (ends[1], low), (ends[1], low + high), (ends[0], low + high))
    return [[_at(frame, a, u, axis) for axis in (0, 1)] for a, u in corners]


def _dot(point: Point, direction: Point) -> float:
    return point[0] * direction[0] + point[1] * direction[1]


def _at(frame: _Frame, across: float, up: float, axis: int) -> float:
    return round(across * frame.across[axis] + up * frame.up[axis], 9)


def _end(text: str) -> str:
    """Return the word for the end of an eave: a rake is the corner of the eave that it rises from."""
    return " ".join(part for part in text.split() if part.casefold() not in ("rake", "end", "hip"))


def _known(length: Measured | None, key: str) -> float:
    if length is None:
        raise ToldWronglyError(f"modules are drawn where their place is known; leave the layout out until there is a {key}", key)
    return length.number


def _frame(name: str, plane: RoofPlaneModel, walls: Walls) -> _Frame:
    outline: Outline = tuple((x, y) for x, y in plane.outline)
    fall: Point | None = None
    if plane.eave:
        fall = fall_from_eave(outline, ((plane.eave[0][0], plane.eave[0][1]), (plane.eave[1][0], plane.eave[1][1])))
    elif isinstance(plane.faces, Direction):
        fall, _ = fall_toward(outline, plane.faces, walls.north_deg)
    if fall is None:
        raise ToldWronglyError(f"the roof plane {name} does not say how it falls; expected its eave", at_key=True)
    if plane.pitch is None:
        raise ToldWronglyError(
            f"the roof plane {name} has no pitch, which distances along it need; expected pitch, or {_LESS[9:]}", at_key=True
        )
    up, across = (-fall[0], -fall[1]), (-fall[1], fall[0])
    bottom, top = along(outline, up)
    level = sorted((point for point in outline if _dot(point, up) <= bottom + _LEVEL_FT), key=lambda point: _dot(point, across))
    if len(level) < 2:
        raise ToldWronglyError(f"the roof plane {name} has no level eave; {_LESS}", at_key=True)
    ends = walls.corners_of(level[0], level[-1])
    eave = NamedWall(name, name, "eave", level[0], level[-1], fall, is_inside=False, corners=ends, spoken_as=f"the eave of {name}")
    return _Frame(up, across, eave, bottom, top, math.cos(math.atan(plane.pitch)))


def _module(layout: LayoutModel, name: str, models: ProjectFile) -> ModuleModel:
    arrays = arrays_of(models)
    here = [tag for tag, array in arrays.items() if name in array.roof_planes]
    if layout.of and layout.of not in arrays:
        raise ToldWronglyError(f"no array has the tag {quoted(layout.of)}{did_you_mean(layout.of, arrays)}", "of")
    if layout.of and layout.of not in here:
        raise ToldWronglyError(f"{layout.of} does not lie on this plane; expected {quoted(name)} among its roof_planes", "of")
    if not layout.of and len(here) != 1:
        which = f"{len(here)} arrays name {quoted(name)}" if here else f"no array names {quoted(name)} among its roof_planes"
        raise ToldWronglyError(f"{which}; expected of: the tag of the array", at_key=True)
    tag = layout.of or here[0]
    module = models.catalog.get(arrays[tag].module)
    if not isinstance(module, ModuleModel) or module.length is None or module.width is None:
        raise ToldWronglyError(f"the module of {tag} has no length and width; expected both in its hardware, or {_LESS[9:]}", at_key=True)
    return module


def _size(layout: LayoutModel, module: ModuleModel) -> Point:
    """Return width along the eave and height up the roof, ft."""
    rows, columns = _known(layout.rows, "rows"), _known(layout.columns, "columns")
    for key, count in (("rows", rows), ("columns", columns)):
        if count < 1:
            raise ToldWronglyError(f"a layout has one of its {key} at least; leave it out where no modules lie", key)
    long, short = _known(module.length, "length") / 12, _known(module.width, "width") / 12
    wide, high = (short, long) if layout.modules == "portrait" else (long, short)
    gap = _known(layout.gap, "gap") / 12
    row_gap = layout.row_gap.number / 12 if layout.row_gap is not None else gap
    return columns * wide + (columns - 1) * gap, rows * high + (rows - 1) * row_gap
