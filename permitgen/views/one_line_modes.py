"""Which contacts are closed in which operating mode, read off the graph."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.system.operating_mode import ALL_MODES
from permitgen.views.one_line import ModeTable

if TYPE_CHECKING:
    from permitgen.system.link import Link
    from permitgen.system.system import System


def modes_of(system: System) -> ModeTable:
    """Return the table of modes; empty where nothing switches by itself or there is one mode only."""
    moving = [link for link in system.graph.links if link.closed_in != ALL_MODES and not _leads_nowhere(system, link)]
    if not moving or len(system.modes) < 2:
        return ModeTable()
    headings = ("MODE", *(_short(link) for link in moving))
    rows = tuple((str(mode), *("closed" if mode in link.closed_in else "open" for link in moving)) for mode in system.modes)
    return ModeTable(headings, rows)


def _leads_nowhere(system: System, link: Link) -> bool:
    """Whether it is the relay of a terminal on which nothing lands: what it does is nothing that anybody sees."""
    return " relay " in link.part and any(len(system.graph.at_node[node]) == 1 for node in (link.first, link.second))


def _short(link: Link) -> str:
    """Return the name of a contact without the word that says it is one, with the terminal that it connects."""
    if " relay " not in link.part:
        return link.part
    terminal = link.first.partition(".")[2]
    return f"{link.part.replace(' relay ', ' ')} ({terminal})"
