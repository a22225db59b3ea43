"""The height of the highest handle of an enclosure."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, not_judged, require_at_most

if TYPE_CHECKING:
    from permitgen.code.provision import Provision
    from permitgen.system.equipment.equipment import Equipment


def judge_grip(item: Equipment, provision: Provision, field: str) -> Judgement:
    """Judge the stated height of the center of the highest grip against the limit ``field`` of ``provision``."""
    height = item.place.handle_height_in if item.place is not None else None
    if height is None:
        return not_judged(f"handle height of {item.tag}").under(provision)
    limit = provision.value(field)
    return require_at_most(
        f"{item.tag}: handle {height.length} above the floor, at most {limit.length}",
        computed=height.named("h", f"height of the handle of {item.tag}"),
        limit=limit.named("h_max", "highest position of the handle"),
    ).under(provision)
