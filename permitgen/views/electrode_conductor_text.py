"""How drawings name the grounding electrode conductor at an enclosure."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.views.one_line_text import MATERIAL_MARKS

if TYPE_CHECKING:
    from permitgen.system.equipment.grounding_electrode_system import GroundingElectrodeSystem


def electrode_conductor_text(item: GroundingElectrodeSystem, tag: str) -> str:
    """Return the conductor that ends in the enclosure ``tag``; of a tap, the common conductor too."""
    mark = MATERIAL_MARKS[item.conductor_material]
    size = item.size_at_landing(tag)
    here = f"{size} {mark}" if size is not None else "size open"
    return f"GEC tap {here}, common {item.conductor_size} {mark}" if item.is_common else f"GEC {here}"
