"""The sums that the methods for a busbar compare."""

from __future__ import annotations

from collections.abc import Container
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from permitgen.rules.given import MissingFactError
from permitgen.rules.quantities.feeding import feeds_ahead
from permitgen.rules.quantities.source_output import counted_outputs
from permitgen.system.equipment.microgrid_interconnect_device import MicrogridInterconnectDevice
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.panel_rows import loads_without_device
from permitgen.system.spanning_forest import forest_in
from permitgen.system.walks.sources_on_busbar import BusbarFeeds, sources_on_busbar
from permitgen.system.walks.sources_only import is_distribution
from permitgen.values.equation import sum_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.busbar import Busbar
    from permitgen.system.link import Link
    from permitgen.system.overcurrent_device import OvercurrentDevice
    from permitgen.system.power_source import PowerSource
    from permitgen.values.value import Value


_ROWS_OF_TWO_POLES = 2


@dataclass(frozen=True, slots=True)
class DeviceOnBusbar:
    """An overcurrent device on a busbar; ``feeds_from_source`` says that sources can come in through it."""

    part: str
    rating_a: Value
    position: int | None
    poles: int
    feeds_from_source: bool


def feeds_of(given: Given, busbar: Busbar) -> BusbarFeeds:
    """Return the sources on the busbar with the utility present, remembered."""
    return given.once_for_topology(("busbar feeds", busbar.tag), lambda: sources_on_busbar(given.system, busbar))


def source_current(given: Given, busbar: Busbar) -> Value:
    """Return the sum of the output currents of the sources on the busbar, A, each limited by its listed power control.

    Raises:
        MissingFactError: a source does not state its output current.
    """
    outputs = counted_outputs(given, feeds_of(given, busbar).sources, busbar.tag)
    return sum_of(outputs, symbol="S", title=f"output current of the sources on the busbar of {busbar.tag}", unit="a")


def protecting_rating(given: Given, busbar: Busbar) -> Value:
    """Return the rating of the device that protects the busbar from the utility's side, A: its own, or a smaller one next ahead of it.

    Raises:
        MissingFactError: there is none, or its rating is not stated.
    """
    feeds = feeds_of(given, busbar)
    if feeds.protected_by is None:
        raise MissingFactError(f"overcurrent device that protects the busbar of {busbar.tag}")
    rating = given.need(feeds.protected_by.rating_a, f"rating of {feeds.protected_part}")
    part = feeds.protected_part
    ahead = feeds_ahead(given, busbar.node, feeds.supply, OperatingMode.WITH_UTILITY) if feeds.supply is not None else None
    if ahead is not None and len(ahead.devices) == 1:
        further = ahead.devices[0]
        if further.device.rating_a is not None and further.device.rating_a.number < rating.number:
            rating, part = further.device.rating_a, further.link.part
    return rating.named("P", f"rating of {part}, which protects the busbar of {busbar.tag}")


def devices_on_busbar(given: Given, busbar: Busbar) -> tuple[DeviceOnBusbar, ...]:
    """Return every overcurrent device that connects something to the busbar, except the one on its supply side.

    Raises:
        MissingFactError: a device has no rating.
    """
    found = []
    for link, device in links_on_busbar(given, busbar):
        rating = given.need(device.rating_a, f"rating of the breaker or fuse at {link.part}")
        found.append(DeviceOnBusbar(link.part, rating, device.position, device.poles, brings_source(given, busbar, link)))
    return tuple(found)


def links_on_busbar(given: Given, busbar: Busbar) -> tuple[tuple[Link, OvercurrentDevice], ...]:
    """Return every connection to the busbar that a device opens, with the device, except the one on its supply side."""
    supply = feeds_of(given, busbar).supply
    links = (link for link in given.system.graph.at_node.get(busbar.node, ()) if link is not supply)
    return tuple((link, link.device) for link in links if link.device is not None)


def brings_source(given: Given, busbar: Busbar, link: Link) -> bool:
    """Whether a source can come in to the busbar over ``link`` while the utility is present."""
    return bool(sources_over(given, busbar, link))


def sources_over(given: Given, busbar: Busbar, link: Link) -> tuple[PowerSource, ...]:
    """Return the sources that can come in to the busbar over ``link`` while the utility is present."""
    feeds = feeds_of(given, busbar)
    mode = OperatingMode.WITH_UTILITY
    if mode not in link.closed_in:
        return ()
    far = link.other(busbar.node)
    graph = given.system.graph
    forest = forest_in(graph, mode)
    reached: Container[str]
    if forest.is_bridge(link):
        reached = forest.side(link, far)
    else:
        reached = graph.reach([far], lambda other: mode in other.closed_in and other is not link and other is not feeds.supply)
    return tuple(source for source in feeds.sources if source.node in reached)


def has_breakers_outside_file(given: Given, busbar: Busbar) -> bool | None:
    """Whether breakers sit on the busbar that the file does not show as circuits; None where it does not say.

    A panel whose loads are listed without circuits or breakers has some, whatever it says of its breakers; combiner panels and
    interconnect devices have none.
    """
    item = given.system.equipment[busbar.tag]
    if loads_without_device(given.system, busbar.tag):
        return True
    if not is_distribution(given.system, item) or isinstance(item, MicrogridInterconnectDevice):
        return False
    stated = item.answer("all_breakers_in_file")
    return None if stated is None else not stated


def sources_at_end(busbar: Busbar, devices: tuple[DeviceOnBusbar, ...], end: str) -> bool | None:
    """Whether every source device stands at one end (``top`` or ``bottom``), none beyond a load; None where a position is not given.

    The first stands in the last rows and each further one next to another: one that stands apart is not at that end, whether or
    not a load lies between.
    """
    sources = [device.position for device in devices if device.feeds_from_source]
    others = [device.position for device in devices if not device.feeds_from_source]
    if any(position is None for position in sources) or busbar.spaces is None or not sources:
        return None
    rows = sorted(_row_from(end, busbar.spaces, position) for position in sources if position is not None)
    loads = [_row_from(end, busbar.spaces, position) for position in others if position is not None]
    # A two-pole device takes the row of its first space and the one below it.
    together = rows[0] <= _ROWS_OF_TWO_POLES and all(after - row <= _ROWS_OF_TWO_POLES for row, after in pairwise(rows))
    return together and rows[-1] <= min(loads, default=rows[-1])


def _row_from(end: str, spaces: int, space: int) -> int:
    """Return the row of a space, counted from 1 at ``end``; spaces count in two columns."""
    row = (space + 1) // 2
    return row if end == "top" else (spaces + 1) // 2 + 1 - row
