"""The conductors between the sources of an island and the building's panel carry all of them together."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, any_of, does_not_apply, require_at_most
from permitgen.rules.overcurrent.conductor_protection import protects
from permitgen.rules.parts import parts_for
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.quantities.conductor_ampacity import conductor_ampacity
from permitgen.rules.quantities.feeding import feeds_at, held_by_port, output_of, place_of, rating_of
from permitgen.rules.rule import rule
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.circuit_sides import CircuitRole, side_in_mode
from permitgen.system.walks.port_currents import landing_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.walks.feeds import Feed


@rule(
    "island-conductors",
    title="The conductors between the sources of an island and the building's panel carry all of them together",
    provision="stand_alone_conductors",
    judges="circuit",
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge a feeder through which the sources of an island reach the loads.

    Requires: ampacity ≥ sum of the output ratings of the sources that feed it in the mode, or one device at its own end that protects it.
    Why: without the utility no main stands between the sources and these conductors.
    Applies to: feeders between island sources and loads; a source's own circuit is judged by its own current.
    Example that fails: sources of 136 A behind a feeder of 3 AWG copper, 100 A.
    Example that passes: sources of 96 A behind it; sources of 136 A behind a load breaker of 100 A.
    """
    if role(given, circuit) is not CircuitRole.FEEDER:
        return does_not_apply(f"{circuit.tag}: not a feeder")
    if circuit.tap_of:
        return does_not_apply(f"{circuit.tag}: a tap of {circuit.tap_of}, held by the device at its end (see feeder-tap)")
    modes = (mode for mode in given.system.modes if mode is not OperatingMode.WITH_UTILITY)
    parts = parts_for(modes, lambda mode: _in_mode(given, circuit, mode))
    if not parts:
        return does_not_apply(f"{circuit.tag}: no island source feeds loads through it")
    return all_of(f"{circuit.tag}: carries the sources of the island together", parts)


def _in_mode(given: Given, circuit: Circuit, mode: OperatingMode) -> Iterator[Judgement]:
    sides = [side_in_mode(given.system, circuit, end, mode) for end in ("start", "finish")]
    for end, (here, there) in (("start", (sides[0], sides[1])), ("finish", (sides[1], sides[0]))):
        sources = tuple(s for s in here.sources if s.is_ac and s.kind != "utility")
        if any(s.forms_island for s in sources) and there.has_loads and not there.has_utility and not here.has_utility:
            together = output_of(given, sources, f"{circuit.tag}, {mode}")
            total = held_by_port(given, landing_of(circuit, end), together, circuit.tag)
            ampacity = conductor_ampacity(given, circuit).final_a.named(f"A_{circuit.tag}")
            message = f"{circuit.tag}: sources of {total.number:.4g} A, conductors of {ampacity.number:.4g} A, {mode}"
            by_sum = require_at_most(message, computed=total, limit=ampacity)
            feeds = feeds_at(given, circuit, end, mode)
            if by_sum.holds or feeds.direct or len(feeds.devices) != 1 or not _is_its_own(given, circuit, end, feeds.devices[0]):
                yield by_sum
            else:
                by_device = protects(circuit, given, rating_of(given, feeds.devices[0]), f"device {place_of(feeds.devices[0].link)}")
                yield any_of(message, [by_sum, by_device])


def _is_its_own(given: Given, circuit: Circuit, end: str, feed: Feed) -> bool:
    """Whether a device stands where the circuit lands: the one device of a source holds that source, not what it feeds."""
    landing = circuit.start if end == "start" else circuit.finish
    own = circuit.start_device if end == "start" else circuit.finish_device
    node = given.system.equipment[landing.tag].node_of(landing)
    return feed.device is own or (node in (feed.link.first, feed.link.second) and not node.endswith(".bus"))
