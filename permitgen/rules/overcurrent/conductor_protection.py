"""Overcurrent devices protect the conductors behind them, from each end that can feed them and in each operating mode.

Any one way suffices for a device: its rating is not above the ampacity; the next standard rating up; the 83 percent rule for
the whole dwelling; the rules for taps; the marked maximum of listed equipment such as air conditioners. Small conductors
have a limit of their own on top. Sources that hold their output by themselves need no sum of devices where the conductors
carry 125 percent of that output.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.code.equations.currents import required_continuous_current_a
from permitgen.code.standard_sizes import select_protecting_rating
from permitgen.rules.judgement import Judgement, all_of, any_of, at_most, does_not_apply, not_judged, require_at_least, require_at_most
from permitgen.rules.larger_conductor import larger_conductors
from permitgen.rules.overcurrent import dc_conductors, dwelling_83_percent, feeder_tap, service_conductors
from permitgen.rules.overcurrent.marked_maximum import judge as marked_maximum
from permitgen.rules.overcurrent.small_conductors import judge as small_conductors
from permitgen.rules.parts import parts_for, parts_of
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.quantities.conductor_ampacity import conductor_ampacity
from permitgen.rules.quantities.feeding import Exposure, exposures, held_by_port, limit_themselves, output_of, place_of, rating_of
from permitgen.rules.quantities.tapped_feeder import is_feeder_tap
from permitgen.rules.quantities.terminal_rating import mark_words
from permitgen.rules.rule import rule
from permitgen.system.equipment.utilization import Appliance
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.system.walks.port_currents import landing_of
from permitgen.system.walks.source_ways import sources_through
from permitgen.values.equation import sum_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.values.value import Value


@rule(
    "conductor-protection",
    title="Overcurrent devices protect the conductors behind them, from each end that can feed them and in each operating mode",
    provision="overcurrent_protection_of_conductors",
    judges="circuit",
    sizes=("conductor",),
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge every device that can feed the circuit's conductors against their ampacity.

    Requires: rating of the device ≤ largest rating that protects the ampacity, after correction and adjustment, of the conductors.
    Why: current that no device limits to what a conductor carries melts its insulation, in the island as well as with the utility.
    Applies to: every circuit; PV dc circuits where they have a device, battery circuits from each end that can feed them.
    Example that fails: 8 AWG copper, 50 A at 75 °C, behind a 60 A device.
    Example that passes: 6 AWG copper, 65 A at 75 °C, behind a 70 A device, the next standard rating.
    """
    if role(given, circuit) is CircuitRole.SERVICE:
        return service_conductors.judge(circuit, given, protects)
    if circuit.is_dc:
        return dc_conductors.judge(circuit, given, protects)
    parts = parts_for(exposures(given, circuit), lambda exposure: _parts(circuit, given, exposure))
    if not parts:
        return not_judged(f"overcurrent device that protects {circuit.tag}")
    return all_of(f"{circuit.tag}: its conductors are protected from each end", parts)


def _parts(circuit: Circuit, given: Given, exposure: Exposure) -> list[Judgement]:
    utility = exposure.feeds.from_utility
    if utility is not None:
        # Sources that join behind this device are the matter of the rule for feeders with a source.
        return [protects(circuit, given, rating_of(given, utility), f"device {place_of(utility.link)}")]
    if any(source.kind == "utility" for source in exposure.feeds.direct):
        return [not_judged(f"overcurrent device between the utility and {circuit.tag}")]
    if not exposure.feeds.devices:
        return [_sources_alone(circuit, exposure)]
    return [_sources(circuit, given, exposure)]


def _sources_alone(circuit: Circuit, exposure: Exposure) -> Judgement:
    names = ", ".join(source.id for source in exposure.feeds.direct)
    return does_not_apply(f"{circuit.tag}: {names} feeds it directly; its conductors carry the rated output (see conductor-ampacity)")


def _sources(circuit: Circuit, given: Given, exposure: Exposure) -> Judgement:
    """Several sources without the utility: the sum of their devices, or what they can give at all."""
    feeds = exposure.feeds
    ratings = [rating_of(given, feed).named(f"OCPD_{number}") for number, feed in enumerate(feeds.devices, start=1)]
    named = " and ".join(place_of(feed.link) for feed in feeds.devices)
    if len(ratings) == 1 and not feeds.direct:
        by_devices = protects(circuit, given, ratings[0], f"device {named}")
    else:
        outputs = [output_of(given, (source,), circuit.tag) for source in feeds.direct]
        total = sum_of([*ratings, *outputs], symbol="ΣOCPD", title=f"devices that feed {circuit.tag} together, {exposure.mode}")
        held = held_by_port(given, landing_of(circuit, exposure.end), total, circuit.tag)
        by_devices = protects(circuit, given, held, f"devices {named} together" + ("" if held is total else ", held by the port"))
    by_output = [_by_output(circuit, given, exposure)] if limit_themselves(feeds.sources) else []
    return any_of(f"{circuit.tag}, {exposure.mode}", [by_devices, *by_output])


def _by_output(circuit: Circuit, given: Given, exposure: Exposure) -> Judgement:
    """125 percent at the terminals, before factors; after factors the output itself."""
    provision = given.provision("source_conductors")
    sources = exposure.feeds.sources
    if exposure.mode is OperatingMode.WITH_UTILITY:
        sources = sources_through(given.system, given.system.graph.conductors_of(circuit.tag), sources) or sources
    together = output_of(given, sources, circuit.tag)
    output = held_by_port(given, landing_of(circuit, exposure.end), together, circuit.tag)
    required = required_continuous_current_a.derive(
        continuous_factor=provision.value("continuous_factor"), continuous_a=output, provision=provision
    )
    ampacity = conductor_ampacity(given, circuit)
    holds_itself = f"the sources hold themselves to {output.number:.4g} A"
    parts = [
        require_at_least(f"{what} its conductors carry {carried.number:.4g} A; {holds_itself}", computed=carried, limit=limit)
        for what, carried, limit in (("at the terminals", ampacity.terminal_a, required), ("after factors", ampacity.corrected_a, output))
    ]
    return replace(all_of(parts[0].message, parts), method="output of the sources").under(provision)


def protects(circuit: Circuit, given: Given, rating: Value, what: str) -> Judgement:
    """Judge whether a device (or a sum of devices) of ``rating`` protects the circuit's conductors, by any of the permitted ways."""
    methods = parts_of(
        lambda: _by_ampacity(circuit, given, rating),
        lambda: dwelling_83_percent.judge(circuit, given, rating),
        lambda: marked_maximum(circuit, given, rating),
        lambda: feeder_tap.judge(circuit, given) if is_feeder_tap(given, circuit) else None,
    )
    return any_of(f"{circuit.tag}: {what}", methods)


def _by_ampacity(circuit: Circuit, given: Given, rating: Value) -> Judgement:
    """By what the conductors carry and, for small ones, by the largest device whatever they carry."""
    parts = parts_of(lambda: _carried(circuit, given, rating), lambda: small_conductors(circuit, given, rating))
    return all_of(parts[0].message, parts)


def _carried(circuit: Circuit, given: Given, rating: Value) -> Judgement:
    found = conductor_ampacity(given, circuit)
    ampacity = found.final_a
    size = f"{circuit.conductors.size} {circuit.conductors.material}"
    words = mark_words(found.terminal_c) if at_most(found.terminal_a, found.corrected_a) else ""
    at_terminals = f" at its {found.terminal_c.number:.0f} °C terminals{words}" if words else ""
    no_next_size = at_most(rating, ampacity) or _serves_receptacles(circuit, given) or is_feeder_tap(given, circuit)
    largest = ampacity if no_next_size else select_protecting_rating(given.code, ampacity)
    next_up = largest.number > ampacity.number
    rated = f", the next standard rating is {largest.figure} A" if next_up else ""
    return require_at_most(
        f"{size} carries {ampacity.number:.4g} A{at_terminals}{rated}; the breaker or fuse is {rating.figure} A",
        computed=rating,
        limit=largest,
        method="ampacity",
        remedies=larger_conductors(circuit),
    ).under(given.provision("next_size_up" if next_up else "overcurrent_protection_of_conductors"))


def _serves_receptacles(circuit: Circuit, given: Given) -> bool:
    """Whether the circuit supplies several receptacles for portable loads, which excludes the next rating up."""
    if role(given, circuit) is not CircuitRole.BRANCH:
        return False
    items = [given.system.equipment[end.tag] for end in circuit.ends]
    return any(isinstance(item, Appliance) and item.category == "general" for item in items)
