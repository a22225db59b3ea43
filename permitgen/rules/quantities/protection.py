"""Which overcurrent devices protect a circuit, from each end that can feed it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.quantities.feeding import exposures
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.system.walks.in_series import devices_in_series

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.link import Link
    from permitgen.system.overcurrent_device import OvercurrentDevice
    from permitgen.system.walks.feeds import Feed

_WITH_UTILITY = OperatingMode.WITH_UTILITY


@dataclass(frozen=True, slots=True)
class ProtectingDevice:
    """A device that protects a circuit; ``part`` is where it sits, ``against`` what it protects from."""

    device: OvercurrentDevice
    part: str
    against: str


def devices_protecting(given: Given, circuit: Circuit) -> tuple[ProtectingDevice, ...]:
    """Return the devices that protect the conductors, found by walking in each mode; the one against the utility first.

    Service conductors are protected at their load end by the service disconnect; every other circuit by the nearest device that has
    a source behind it, in the modes in which that source feeds it. A dc circuit has dc devices only: the walk passes no converter.
    """
    return given.once(("protecting", circuit.tag), lambda: tuple(_find(given, circuit)))


def poles_of(given: Given, device: OvercurrentDevice, where: str) -> int:
    """Return how many poles of a device open together; ``where`` names it.

    Raises:
        MissingFactError: the file does not state them; those taken from the circuit are no proof that one handle opens all.
    """
    return given.need(device.poles if device.are_poles_stated else None, f"poles of the device of {where}")


def _find(given: Given, circuit: Circuit) -> list[ProtectingDevice]:
    system = given.system
    if role(given, circuit) is CircuitRole.SERVICE:
        reached = system.graph.reach(system.utility_nodes, lambda link: link.device is None and _WITH_UTILITY in link.closed_in)
        ends = [link for node in reached for link in system.graph.at_node.get(node, ()) if link.device is not None]
        downstream = [link for link in ends if link.device is not None and _is_closed_beyond(given, circuit, link)]
        return [
            ProtectingDevice(link.device, link.part, "overload of the service conductors") for link in downstream if link.device is not None
        ]
    feeds = [feed for exposure in exposures(given, circuit) for feed in exposure.feeds.devices]
    utility = [feed for feed in feeds if feed.has_utility]
    others = [feed for feed in feeds if circuit.is_dc or not utility or any(source.kind == "generator" for source in feed.sources)]
    found = {id(feed.link): _against(feed) for feed in (*utility, *others)}
    if not found:
        return [ProtectingDevice(each.device, each.tag, "overload") for each in devices_in_series(system, circuit)]
    return list(found.values())


def _against(feed: Feed) -> ProtectingDevice:
    what = "the utility and the other sources" if feed.has_utility else ", ".join(source.id for source in feed.sources)
    return ProtectingDevice(feed.device, feed.link.part, what)


def _is_closed_beyond(given: Given, circuit: Circuit, link: Link) -> bool:
    """Whether ``link`` lies beyond ``circuit`` as seen from the utility, and is closed while that is there."""
    if _WITH_UTILITY not in link.closed_in:
        return False

    def passes(other: Link) -> bool:
        return other.device is None and other.circuit != circuit.tag and _WITH_UTILITY in other.closed_in

    without = given.system.graph.reach(given.system.utility_nodes, passes)
    return link.first not in without and link.second not in without
