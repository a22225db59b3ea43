"""The feeder that a tap is taken from: its device, the sources on it; and where the tap ends."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.code.equations.currents import required_continuous_current_a
from permitgen.code.equations.taps import feeder_and_source_a
from permitgen.rules.given import MissingFactError
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.quantities.feeding import feeds_at, output_of, rating_of
from permitgen.rules.quantities.length_of_ways import longest_way_ft
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.system.walks.dwelling_load import devices_at_load_end
from permitgen.values.equation import one_or_sum_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit, End
    from permitgen.system.overcurrent_device import OvercurrentDevice
    from permitgen.system.walks.feeds import Feed
    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True)
class TappedFeeder:
    """``feeder_a`` is the rating of the feeder's device, ``sources`` the devices of power sources on the feeder.

    ``length_ft`` is the length of the tap; ``end_devices`` are the devices at its far end, ``far`` that end. ``between`` are the tags
    of the taps that lie between this one and the feeder: a tap is taken from the feeder itself.
    """

    feeder_a: Value
    sources: tuple[Feed, ...]
    length_ft: Value
    end_devices: tuple[OvercurrentDevice, ...]
    far: End
    between: tuple[str, ...]


def is_feeder_tap(given: Given, circuit: Circuit) -> bool:
    """Whether a circuit is tapped from a feeder: service conductors are no tap conductors, wherever they branch (240.2)."""
    return bool(circuit.tap_of) and role(given, given.system.circuits[circuit.tap_of]) is not CircuitRole.SERVICE


def tapped_feeder(given: Given, circuit: Circuit) -> TappedFeeder:
    """Return the feeder of a tap.

    Raises:
        MissingFactError: no device protects the feeder, a rating or the length of the tap is not stated.
    """
    mode = OperatingMode.WITH_UTILITY
    for end, other in (("start", "finish"), ("finish", "start")):
        feeds = feeds_at(given, circuit, end, mode)
        if feeds.from_utility is None:
            continue
        sources = tuple(feed for feed in feeds.devices if not feed.has_utility)
        rating = rating_of(given, feeds.from_utility).named("P", f"rating of the breaker or fuse of the feeder {circuit.tap_of}")
        between = _taps_between(given, circuit, end, feeds.from_utility)
        far = circuit.finish if other == "finish" else circuit.start
        return TappedFeeder(rating, sources, _length(given, circuit), _end_devices(given, circuit, other), far, between)
    raise MissingFactError(f"overcurrent device of the feeder {circuit.tap_of}")


def _taps_between(given: Given, circuit: Circuit, end: str, feed: Feed) -> tuple[str, ...]:
    """Return the other taps on the shortest way without a device from the feeder's device to this tap, and the tap it names."""
    system = given.system
    others = {tag for tag, each in system.circuits.items() if each.tap_of and tag != circuit.tag}
    reached = system.graph.reach([f"{circuit.tag}.{end}"], lambda link: link.device is None and link.circuit != circuit.tag)
    near = next((node for node in (feed.link.first, feed.link.second) if node in reached), None)
    way = system.graph.path_back(reached, near) if near is not None else []
    named = [circuit.tap_of] if circuit.tap_of in others else []
    return tuple(dict.fromkeys([*named, *(link.circuit for link in way if link.circuit in others)]))


def _end_devices(given: Given, circuit: Circuit, end: str) -> tuple[OvercurrentDevice, ...]:
    return tuple(each.device for each in devices_at_load_end(given.system, circuit.tag, end))


def _length(given: Given, circuit: Circuit) -> Value:
    stated = circuit.fact("tap_length")
    if stated is not None:
        return stated
    if not circuit.ways:
        raise MissingFactError(f"length of the tap {circuit.tag}")
    return longest_way_ft(given, circuit, f"length of the tap {circuit.tag}")


def feeder_basis_a(given: Given, circuit: Circuit, tap: TappedFeeder, *, is_short: bool) -> Value:
    """Return the amperes of which a tap carries its share: the feeder's device, and what the edition adds for sources on it.

    Raises:
        MissingFactError: the rating of a source's device, or its output, is not stated.
    """
    if not tap.sources:
        return tap.feeder_a
    provision = given.provision("feeder_tap_with_source")
    if is_short and not provision.flag("covers_short_taps"):
        return tap.feeder_a
    if provision.text("adds") == "device rating":
        ratings = [rating_of(given, feed).named(f"OCPD_{n}") for n, feed in enumerate(tap.sources, start=1)]
        added = one_or_sum_of(ratings, symbol="S", title="ratings of the devices of the sources")
    else:
        sources = tuple(source for feed in tap.sources for source in feed.sources)
        added = required_continuous_current_a.derive(
            continuous_factor=provision.value("source_factor"),
            continuous_a=output_of(given, sources, circuit.tap_of),
            provision=provision,
            title="125 percent of the output current of the sources",
        )
    return feeder_and_source_a.derive(feeder_device_a=tap.feeder_a, source_a=added.named("S"), provision=provision)
