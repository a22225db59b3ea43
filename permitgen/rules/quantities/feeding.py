"""What can overload a circuit's conductors: the devices and sources behind each of its ends, mode by mode."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.rules.quantities.source_output import counted_outputs
from permitgen.system.walks.feeds import Feed, Feeds, feeds_into, feeds_of_circuit
from permitgen.system.walks.port_currents import most_out_of
from permitgen.values.equation import selected, sum_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.link import Link
    from permitgen.system.operating_mode import OperatingMode
    from permitgen.system.power_source import PowerSource
    from permitgen.system.walks.dc_feeds import DcFeed
    from permitgen.values.value import Value

# These hold their own output to its rating; a generator can exceed it until its device opens.
_LIMIT_THEMSELVES = frozenset({"photovoltaic", "energy storage", "vehicle"})


@dataclass(frozen=True, slots=True)
class Exposure:
    """What stands behind one end of a circuit in one mode."""

    end: str
    mode: OperatingMode
    feeds: Feeds


def exposures(given: Given, circuit: Circuit) -> tuple[Exposure, ...]:
    """Return the different exposures of a circuit; one that recurs in another mode is given once."""
    return given.once_for_topology(("exposures", circuit.tag), lambda: tuple(_find(given, circuit)))


def feeds_at(given: Given, circuit: Circuit, end: str, mode: OperatingMode) -> Feeds:
    """Return what feeds a circuit from one of its ends in a mode, remembered."""
    return given.once_for_topology(("feeds", circuit.tag, end, mode), lambda: feeds_of_circuit(given.system, circuit.tag, end, mode))


def _find(given: Given, circuit: Circuit) -> list[Exposure]:
    found: list[Exposure] = []
    seen: set[tuple[object, ...]] = set()
    for mode in given.system.modes:
        for end in ("start", "finish"):
            feeds = feeds_at(given, circuit, end, mode)
            key = (end, frozenset((id(f.link), f.has_utility) for f in feeds.devices), frozenset(s.id for s in feeds.direct))
            if feeds.sources and key not in seen:
                seen.add(key)
                found.append(Exposure(end, mode, feeds))
    return found


def place_of(link: Link) -> str:
    """Return the name of the place where a device sits, as a person who looks for it reads it: ``MSP.2``, ``MID.main``."""
    return link.handle or link.part


def rating_of(given: Given, feed: Feed | DcFeed) -> Value:
    """Return the rating of the device of a feed, A.

    Raises:
        MissingFactError: it is not stated.
    """
    return given.need(feed.device.rating_a, f"rating of the breaker or fuse at {feed.link.part}")


def feeds_ahead(given: Given, bus: str, supply: Link, mode: OperatingMode) -> Feeds | None:
    """Return the devices ahead of the one through which a busbar is supplied; None where it has none itself, or nothing stands ahead.

    Only what a device holds protects the busbar: where a source reaches the supply without one, nothing ahead does.
    """
    if supply.device is None:
        return None
    feeds = feeds_into(given.system, supply.other(bus), mode, (supply,))
    return feeds if feeds.devices and not feeds.direct else None


def limit_themselves(sources: tuple[PowerSource, ...]) -> bool:
    """Whether none of the sources can give more than its rated output for long."""
    return all(source.kind in _LIMIT_THEMSELVES for source in sources)


def output_of(given: Given, sources: tuple[PowerSource, ...], where: str) -> Value:
    """Return the sum of the rated outputs of ac sources, each limited by its listed power control where there is one, A.

    Raises:
        MissingFactError: a source does not state its output.
    """
    outputs = counted_outputs(given, [s for s in sources if s.is_ac], where)
    return sum_of(outputs, symbol="S", title=f"output current of the sources behind {where}", unit="a")


def held_by_port(given: Given, node: str, output: Value, where: str) -> Value:
    """Return what sources give together through a port of an inverter, A: no more than its data sheet says it lets out."""
    limit = most_out_of(given.system, node)
    if limit is None or limit.number >= output.number:
        return output
    inputs = (output, limit.named("I_port", f"largest output of {node}"))
    return selected(limit.number, "a", by="smaller of", inputs=inputs, symbol=output.symbol, title=f"output by {node} to {where}")
