"""Which handles separate a source from all other sources and from the loads."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.system.handle import Handle
    from permitgen.system.link import Link
    from permitgen.system.power_source import PowerSource
    from permitgen.system.system import System


def separating_handles(system: System, sources: tuple[PowerSource, ...]) -> tuple[Handle, ...]:
    """Return the handles each of which alone separates ``sources`` from every other source and from every load.

    A walk over all modes: what is open in one mode may close in another. Sources that share the equipment of ``sources`` do not
    count as others.
    """
    if not sources:
        return ()
    tags = {source.tag for source in sources}
    starts = [source.node for source in sources]
    return tuple(
        handle for handle in system.handles.values() if handle.kind != "generator stop" and _separates(system, handle.id, starts, tags)
    )


def _separates(system: System, handle: str, starts: list[str], tags: set[str]) -> bool:
    reached = system.graph.reach(starts, lambda link: link.handle != handle)
    if any(source.node in reached for source in system.sources.values() if source.tag not in tags and source.kind != "vehicle"):
        return False
    return not any(
        item.is_utilization_equipment and f"{item.tag}.input" in reached for item in system.equipment.values() if item.tag not in tags
    )


def link_of(system: System, handle: str) -> Link | None:
    """Return the connection a handle opens, None for a handle that only controls."""
    return next((link for link in system.graph.links if link.handle == handle), None)
