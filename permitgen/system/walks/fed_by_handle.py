"""What a handle switches: which sources, or only loads, lie on the side of it away from the utility."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.system.operating_mode import OperatingMode

if TYPE_CHECKING:
    from permitgen.system.link import Link
    from permitgen.system.system import System


def kinds_beyond(system: System, handle: str) -> frozenset[str]:
    """Return the kinds of the sources beyond ``handle`` as seen from the utility; empty where only loads lie there.

    With several links of one handle the first counts. A handle between utility and everything else gives ``utility``.
    """
    link = next((link for link in system.graph.links if link.handle == handle), None)
    if link is None:
        return frozenset(s.kind for s in system.sources.values() if handle in system.handles and s.tag in system.handles[handle].stops)
    sides = [_side(system, link, node) for node in (link.first, link.second)]
    utility = [any(node in side for node in system.utility_nodes) for side in sides]
    beyond = min(sides, key=len) if utility[0] == utility[1] else sides[1] if utility[0] else sides[0]
    return frozenset(s.kind for s in system.sources.values() if s.node in beyond)


def _side(system: System, without: Link, start: str) -> set[str]:
    nodes: set[str] = set()
    for mode in OperatingMode:
        nodes.update(system.graph.reach([start], lambda link, m=mode: m in link.closed_in and link is not without))  # type: ignore[misc]
    return nodes
