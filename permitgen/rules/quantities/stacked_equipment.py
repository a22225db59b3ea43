"""Equipment that hangs above or below other equipment: on one wall, widths over each other in plan."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.system.site.facing import facing_on_page

if TYPE_CHECKING:
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.site.geometry import Point
    from permitgen.system.system import System

_SAME_WALL_FT = 1.0
_TOUCH_FT = 0.01


def stacked_with(system: System, item: Equipment) -> tuple[Equipment, ...]:
    """Return what the plan draws on the wall of ``item`` above or below it, meters left out: two boxes cannot hang in one place.

    Of unstated width equipment counts as a line, which the other must hide; what the plan draws nowhere is not known to hang there.
    """
    return tuple(
        other
        for other in system.equipment.values()
        if other is not item and other.kind != "meter" and other.status != "to be removed" and _is_stacked(system, item, other)
    )


def _is_stacked(system: System, one: Equipment, other: Equipment) -> bool:
    first, second = one.place, other.place
    if first is None or second is None or (first.building, first.outdoors, first.faces) != (second.building, second.outdoors, second.faces):
        return False
    if first.faces is None or "ground" in first.space or "ground" in second.space:
        return False
    apart = _apart(one, other)
    if apart is None:
        return False
    faces = facing_on_page(system.site.plan, first)
    out, along = abs(apart[0] * faces[0] + apart[1] * faces[1]), abs(apart[1] * faces[0] - apart[0] * faces[1])
    return out < _SAME_WALL_FT and along < _half_width_ft(one) + _half_width_ft(other) - _TOUCH_FT


def _apart(one: Equipment, other: Equipment) -> Point | None:
    """Return the way from one to the other in plan, ft; None where the plan lacks one."""
    assert one.place is not None  # noqa: S101 - asked of things with a place
    assert other.place is not None  # noqa: S101 - as above
    (x, y), (u, v) = ((place.x_ft, place.y_ft) for place in (one.place, other.place))
    if x is None or y is None or u is None or v is None:
        return None
    return u.number - x.number, v.number - y.number


def _half_width_ft(item: Equipment) -> float:
    width = item.fact("width")
    return width.number / 24 if width is not None else 0.0
