"""What the utility reaches through a piece of equipment only."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.system.operating_mode import OperatingMode

if TYPE_CHECKING:
    from permitgen.system.link import Link
    from permitgen.system.system import System


def nodes_behind(system: System, tag: str) -> frozenset[str]:
    """Return the nodes that the utility reaches through the equipment ``tag`` and not without it, its own among them."""
    everything = system.graph.reach(system.utility_nodes, _carries)
    without = system.graph.reach(system.utility_nodes, lambda link: _carries(link) and not _touches(link, tag))
    return frozenset(everything) - frozenset(without)


def _carries(link: Link) -> bool:
    return OperatingMode.WITH_UTILITY in link.closed_in and not link.is_converter


def _touches(link: Link, tag: str) -> bool:
    return tag in (link.first.split(".", maxsplit=1)[0], link.second.split(".", maxsplit=1)[0])
