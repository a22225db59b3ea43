"""Where a loop goes around conductors: what gets to the place at which it closes flows on from there, not back around it."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.system.link import Link
    from permitgen.system.operating_mode import OperatingMode
    from permitgen.system.system import System


def branching(system: System, conductors: Link, end: str, mode: OperatingMode) -> str:
    """Return the first node from an end of conductors on from which more than one way leads on, or none."""
    came, node = conductors, end
    while True:
        onward = [link for link in system.graph.at_node.get(node, ()) if link is not came and mode in link.closed_in]
        if len(onward) != 1 or onward[0] is conductors:
            return node
        came, node = onward[0], onward[0].other(node)
