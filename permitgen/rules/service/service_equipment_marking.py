"""What is used as service equipment is marked as suitable for that use.

The mark says that neutral and ground can be bonded in it and that its terminals stand on the utility's side. Equipment that the
interconnect device replaces as service equipment needs it no longer; the device that takes over does.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.quantities.service_disconnects import service_side
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.equipment import Equipment

MARKS = frozenset({"service equipment", "suitable for use as service equipment"})


@rule(
    "service-equipment-marking",
    title="What is used as service equipment is marked as suitable for that use",
    provision="service_equipment_marking",
    judges="equipment",
)
def judge(item: Equipment, given: Given) -> Judgement:
    """Judge the listing of the enclosure of each service disconnect, also of a source's on the supply side.

    Requires: listed or marked as suitable for use as service equipment.
    Why: other equipment has no place for the bond, no line-side barrier, and is not tested against the utility's fault current.
    Applies to: the enclosures of service disconnects and of supply-side source disconnects.
    Example that fails: interconnect device listed only as such, with the service disconnect in it.
    Example that passes: the same device, listed as service equipment too.
    """
    side = service_side(given)
    if item.tag not in {d.enclosure for d in side.disconnects}:
        return does_not_apply(f"{item.tag}: not used as service equipment")
    given.need(item.listed_as or None, f"what {item.tag} is listed as")
    marked = bool(item.listed_as & MARKS)
    listed = ", ".join(sorted(item.listed_as))
    words = "is marked" if marked else "is used as service equipment but not marked"
    at = item.where.get("listed_as")
    return require(marked, f"{item.tag} {words} as suitable for it: listed as {listed}", places=(at,) if at is not None else ())
