"""Devices in an interconnect device stay within the largest that its terminals and its busbar take."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require_at_most
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.microgrid_interconnect_device import MicrogridInterconnectDevice
    from permitgen.values.value import Value


@rule("source-terminal-device", provision="listed_and_instructed", judges="microgrid_interconnect_device")
def judge(device: MicrogridInterconnectDevice, given: Given) -> Judgement:
    """Judge every overcurrent device inside an interconnect device.

    Requires: device at a source terminal ≤ the largest it takes; breakers ≤ the largest of the busbar; load breaker ≤ its largest.
    Why: factory conductors and stabs behind a terminal are made for that device and no more.
    Applies to: microgrid interconnect devices with devices installed.
    Example that fails: a 100 A breaker at a terminal marked 80 A.
    Example that passes: an 80 A breaker there.
    """
    parts = [*_terminals(device, given), *_breakers(device, given), *_load(device, given)]
    if not parts:
        return does_not_apply(f"{device.tag} holds no devices")
    return all_of(f"{device.tag}: its devices stay within the largest permitted", parts)


def _at_most(tag: str, where: str, rating: Value, largest: Value) -> Judgement:
    message = f"{tag}: {rating.number:g} A at {where}, {largest.number:g} A is the largest"
    return require_at_most(message, computed=rating.named("OCPD"), limit=largest.named("OCPD_max"))


def _terminals(device: MicrogridInterconnectDevice, given: Given) -> Iterator[Judgement]:
    for name in device.source_terminals():
        link = next(
            (link for link in given.system.graph.at_node.get(f"{device.tag}.{name}", ()) if link.handle == f"{device.tag}.{name}"), None
        )
        if link is None or link.device is None:
            continue
        largest = given.need(device.terminals[name].largest_device_a, f"largest overcurrent device at terminal {device.tag}.{name}")
        yield _at_most(
            device.tag, f"terminal {name}", given.need(link.device.rating_a, f"rating of the device at {device.tag}.{name}"), largest
        )


def _breakers(device: MicrogridInterconnectDevice, given: Given) -> Iterator[Judgement]:
    for link in given.system.graph.at_node.get(f"{device.tag}.bus", ()):
        if link.device is None or link.device.position is None:
            continue
        largest = given.need(device.largest_breaker_a, f"largest breaker of {device.tag}")
        yield _at_most(
            device.tag,
            f"position {link.device.position}",
            given.need(link.device.rating_a, f"rating of the device at {link.part}"),
            largest,
        )


def _load(device: MicrogridInterconnectDevice, given: Given) -> Iterator[Judgement]:
    if device.load_device is not None:
        largest = given.need(device.largest_load_device_a, f"largest load breaker of {device.tag}")
        yield _at_most(
            device.tag,
            "the load terminals",
            given.need(device.load_device.rating_a, f"rating of the load breaker of {device.tag}"),
            largest,
        )
