"""The ways from a busbar to loads, and what the loads on all of them can take together."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.given import MissingFactError
from permitgen.rules.quantities.busbar_feeds import brings_source, feeds_of
from permitgen.values.equation import sum_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.busbar import Busbar
    from permitgen.system.link import Link
    from permitgen.values.value import Value


def ways_to_loads(given: Given, busbar: Busbar) -> tuple[Link, ...]:
    """Return the links by which a busbar feeds loads: load terminals, and every device that brings no source."""
    supply = feeds_of(given, busbar).supply
    former = f"{busbar.tag}.autotransformer"
    found = []
    for link in given.system.graph.at_node.get(busbar.node, ()):
        terminal = given.system.equipment[busbar.tag].terminals.get(link.other(busbar.node).rpartition(".")[2])
        is_source = terminal is not None and bool(terminal.accepts)
        if link is supply or link.other(busbar.node) == former or is_source:
            continue
        if link.part.endswith("load terminals") or not brings_source(given, busbar, link):
            found.append(link)
    return tuple(found)


def device_beyond(given: Given, busbar: Busbar, link: Link) -> Link | None:
    """Return where the one device stands through which all passes that leaves a busbar by lugs, as the main of the panel they feed."""
    graph = given.system.graph
    reached = graph.reach([link.other(busbar.node)], lambda other: other.device is None and other is not link)
    beyond = [other for node in reached for other in graph.at_node.get(node, ()) if other.device is not None]
    return beyond[0] if len(beyond) == 1 else None


def loads_together(given: Given, busbar: Busbar) -> Value | None:
    """Return what the devices let the loads on several ways take together, A; None where one way leads to all of them.

    Raises:
        MissingFactError: a rating is not stated, or no one device limits what lugs take.
    """
    ways = ways_to_loads(given, busbar)
    if len(ways) < 2:
        return None
    terms = []
    for way in ways:
        at = way if way.device is not None else device_beyond(given, busbar, way)
        if at is None or at.device is None:
            raise MissingFactError(f"one breaker or fuse that limits what the {way.part} take")
        terms.append(given.need(at.device.rating_a, f"rating of the breaker or fuse at {at.part}").named("OCPD", f"rating of {at.part}"))
    named = [term.named(f"OCPD_{number}", term.title) for number, term in enumerate(terms, start=1)]
    return sum_of(named, symbol="ΣOCPD_load", title=f"devices of the loads on the busbar of {busbar.tag} together")
