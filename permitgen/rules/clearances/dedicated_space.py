"""The space above and below a panelboard is kept for the electrical installation: no pipes, ducts or shelves."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.equipment import Equipment


@rule(
    "dedicated-space",
    title="The space above and below a panelboard is kept for the electrical installation: no pipes, ducts or shelves",
    provision="dedicated_space",
    judges="equipment",
)
def judge(item: Equipment, given: Given) -> Judgement:
    """Judge whether anything foreign stands in the panel's own space.

    Requires: width and depth of the panel, from the floor to 6 ft above it or the ceiling, outdoors from grade to 6 ft above it, free
        of what is not electrical.
    Why: leaking pipes above a panel, and no way left for the next conduit.
    Applies to: panelboards and interconnect devices with a busbar, indoors and outdoors.
    Example that fails: water pipe across the wall above the panel.
    Example that passes: wall above and below the panel clear.
    """
    if not item.is_cabinet_with_bus:
        return does_not_apply(f"{item.tag}: no dedicated space is asked for")
    place = given.need(item.place, f"place of {item.tag}")
    space = given.need(place.word("dedicated_space") or None, f"dedicated space of {item.tag} (clear or obstructed)")
    return require(space == "clear", f"{item.tag}: dedicated space {space}")
