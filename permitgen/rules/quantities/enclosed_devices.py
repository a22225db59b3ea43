"""Which enclosures hold overcurrent devices."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, not_judged
from permitgen.system.equipment.panelboard import Panelboard
from permitgen.system.panel_rows import shows_all_breakers

if TYPE_CHECKING:
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.system import System


def holds_overcurrent_devices(system: System, item: Equipment) -> bool | None:
    """Whether an enclosure holds devices that people reach: its own, or those of the circuits that land there.

    None for a panelboard of which the file shows none, and does not show all: it does not say so, or lists loads whose breakers it lacks.
    """
    if not item.holds_devices:
        return False
    nodes = {node for node in system.graph.at_node if node.split(".", maxsplit=1)[0] == item.tag}
    if any(link.device is not None for node in nodes for link in system.graph.at_node[node]):
        return True
    return None if isinstance(item, Panelboard) and not shows_all_breakers(system, item.tag) else False


def where_devices_unsaid(item: Equipment, judgement: Judgement) -> Judgement:
    """Return what is asked of an enclosure with devices, where nobody says that it holds some: what fails is then not judged."""
    return judgement if judgement.holds else not_judged(*judgement.missing, f"breakers of {item.tag} (its directory)")
