"""Which panelboards carry nothing but sources: by their role, or because the file shows all their breakers and none is of a load."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.system.equipment.panelboard import Panelboard
from permitgen.system.panel_rows import panel_rows

if TYPE_CHECKING:
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.panel_rows import PanelRow
    from permitgen.system.system import System

_ROLES = ("combiner", "combining")


def is_distribution(system: System, item: Equipment) -> bool:
    """Whether equipment is a panelboard that feeds loads, or may for all that the file shows; a panel of sources only is none."""
    return isinstance(item, Panelboard) and not has_sources_only(system, item)


def has_sources_only(system: System, panel: Panelboard) -> bool:
    """Whether a panel combines sources and carries no load: its role says so, or every space is told and each breaker is of sources."""
    if _has_role(panel):
        return True
    return system.graph.once(("sources only", panel.tag), lambda: _is_shown_to_have_sources_only(system, panel))


def _has_role(item: Equipment) -> bool:
    return any(word in role for role in item.roles for word in _ROLES)


def _is_shown_to_have_sources_only(system: System, panel: Panelboard) -> bool:
    if panel.has_feed_through_lugs or panel.tag in system.known_loads or any(load.panel == panel.tag for load in system.loads.values()):
        return False
    if panel.answer("all_breakers_in_file") is not True:
        return False
    in_use = [row for row in panel_rows(system, panel.tag) if not row.is_spare]
    return bool(in_use) and all(_leads_to_sources_only(system, panel, row) for row in in_use)


def _leads_to_sources_only(system: System, panel: Panelboard, row: PanelRow) -> bool:
    """Whether what lies beyond a breaker has sources without the utility, and no load nor a busbar that may feed one."""
    circuit = row.circuit
    if circuit is None:
        return False
    conductors = system.graph.conductors_of(circuit.tag)
    far = "finish" if circuit.start.tag == panel.tag else "start"
    beyond = system.graph.reach([f"{circuit.tag}.{far}"], lambda link: link is not conductors)
    sources = [source for source in system.sources.values() if source.node in beyond]
    uses = any(item.is_utilization_equipment and f"{item.tag}.input" in beyond for item in system.equipment.values())
    buses = [system.equipment[bus.tag] for bus in system.busbars.values() if bus.node in beyond]
    carries = any(item.carries_loads and not _has_role(item) for item in buses)
    return bool(sources) and not (uses or carries or any(source.kind == "utility" for source in sources))
