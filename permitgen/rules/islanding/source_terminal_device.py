"""Devices that come with an interconnect device stay within the largest that its terminals take."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, not_judged, require_at_most
from permitgen.rules.parts import parts_for, parts_of
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.microgrid_interconnect_device import MicrogridInterconnectDevice
    from permitgen.values.value import Value


@rule(
    "source-terminal-device",
    title="Devices that come with an interconnect device stay within the largest that its terminals take",
    provision="listed_and_instructed",
    judges="microgrid_interconnect_device",
)
def judge(device: MicrogridInterconnectDevice, given: Given) -> Judgement:
    """Judge the devices built into an interconnect device, and whether its source terminals state their largest device.

    Requires: built-in device and load breaker ≤ the largest of their terminals; the largest is stated wherever a device lands.
    Why: factory conductors behind a terminal are made for that device and no more.
    Applies to: interconnect devices; devices that circuits bring are judged with their circuit (listed-overcurrent-maximum).
    Example that fails: a load breaker of 125 A where 100 A is the largest.
    Example that passes: a load breaker of 100 A there.
    """
    parts = [*parts_for(device.source_terminals(), lambda name: _at_terminal(device, name, given)), *parts_of(lambda: _load(device, given))]
    if not parts:
        return does_not_apply(f"{device.tag} holds no devices of its own, and its terminals state their largest")
    return all_of(f"{device.tag}: its breakers or fuses stay within the largest permitted", parts)


def _at_most(tag: str, where: str, rating: Value, largest: Value) -> Judgement:
    message = f"{tag}: {rating.figure} A at {where}, {largest.figure} A is the largest"
    return require_at_most(message, computed=rating.named("OCPD"), limit=largest.named("OCPD_max"))


def _at_terminal(device: MicrogridInterconnectDevice, name: str, given: Given) -> Judgement | None:
    terminal, node = device.terminals[name], f"{device.tag}.{name}"
    link = next((link for link in given.system.graph.at_node.get(node, ()) if link.handle == node), None)
    if link is None or link.device is None:
        return None
    if terminal.largest_device_a is None:
        return not_judged(f"largest overcurrent device at terminal {node}")
    if link.device is not terminal.built_in:
        return None
    rating = given.need(link.device.rating_a, f"rating of the breaker or fuse at {node}")
    return _at_most(device.tag, f"terminal {name}", rating, terminal.largest_device_a)


def _load(device: MicrogridInterconnectDevice, given: Given) -> Judgement | None:
    if device.load_device is None:
        return None
    largest = given.need(device.largest_load_device_a, f"largest load breaker of {device.tag}")
    rating = given.need(device.load_device.rating_a, f"rating of the load breaker of {device.tag}")
    return _at_most(device.tag, "the load terminals", rating, largest)
