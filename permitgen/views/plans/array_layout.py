"""How an array lies on its plane: size of each field of modules, its distance from eave and side, the branch or string of each module."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.quantities.module_layout import rectangle_on
from permitgen.rules.quantities.plan_distances import measured
from permitgen.system.site.geometry import along, centroid
from permitgen.views.plans.parts import PlanDimension
from permitgen.views.wording import feet_and_inches

if TYPE_CHECKING:
    from collections.abc import Iterable

    from permitgen.system.equipment.photovoltaic import PVArray
    from permitgen.system.site.plan import RoofPlane
    from permitgen.views.plans.parts import Point


def array_dimensions(planes: Iterable[RoofPlane]) -> tuple[PlanDimension, ...]:
    """Return length and depth of each field of modules and its distances from eave and side of its plane, all in plan as it is drawn."""
    return tuple(each for plane in planes for shape in plane.arrays for each in _of_field(plane, shape))


def _of_field(plane: RoofPlane, shape: tuple[Point, ...]) -> list[PlanDimension]:
    low, high = along(shape, plane.across)
    bottom, top = along(shape, plane.up)
    side, _ = along(plane.outline, plane.across)
    eave, _ = along(plane.outline, plane.up)
    middle = centroid(shape)
    corners = rectangle_on(plane, low, bottom, high - low, top - bottom)
    (at_eave,) = set(rectangle_on(plane, low + (high - low) * 0.12, eave, 0.0, 0.0))
    (at_side,) = set(rectangle_on(plane, side, bottom + (top - bottom) * 0.2, 0.0, 0.0))
    (over_eave,) = set(rectangle_on(plane, low + (high - low) * 0.12, bottom, 0.0, 0.0))
    (from_side,) = set(rectangle_on(plane, low, bottom + (top - bottom) * 0.2, 0.0, 0.0))
    spans: tuple[tuple[Point, Point, Point | None], ...] = (
        (corners[0], corners[1], middle),
        (corners[1], corners[2], middle),
        (at_eave, over_eave, None),
        (at_side, from_side, None),
    )
    name = f"modules on the {plane.name} roof"
    return [PlanDimension(a, b, feet_and_inches(measured(a, b, name).number), inside) for a, b, inside in spans if a != b]


def circuits_of_modules(array: PVArray, count: int) -> tuple[str, ...]:
    """Return the branch or string of each of ``count`` modules, from the eave up and left to right in each row; none where nobody says."""
    sizes = {**array.branches, **array.strings}
    order = array.module_order or (tuple(sizes) if len(sizes) == 1 else ())
    named = tuple(name for name in order for _ in range(int(sizes[name].number)))
    return named if len(named) == count else ()
