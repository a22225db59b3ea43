"""Whether one thing is within sight and reach of another, from what the project says and from the plan."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.system.equipment.equipment import Equipment


def is_in_sight(item: Equipment, other: Equipment) -> bool | None:
    """Whether each can be seen from the other, as the project says; None where neither place says anything of sight."""
    places = [place for place in (item.place, other.place) if place is not None]
    if any(other.tag in place.in_sight_of or item.tag in place.in_sight_of for place in places):
        return True
    return False if any(place.in_sight_of for place in places) else None


def plan_distance_ft(item: Equipment, other: Equipment) -> Value | None:
    """Return the distance of two things on the site plan, ft; None where one has no position."""
    a, b = item.place, other.place
    if a is None or b is None or a.x_ft is None or a.y_ft is None or b.x_ft is None or b.y_ft is None:
        return None
    distance = math.hypot(a.x_ft.number - b.x_ft.number, a.y_ft.number - b.y_ft.number)
    return Value(
        distance,
        "ft",
        FromSystem(f"positions of {item.tag} and {other.tag} on the site plan"),
        "d",
        f"distance from {item.tag} to {other.tag}",
    )
