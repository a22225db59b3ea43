"""The current for which a circuit is sized, and the current it must carry after factors.

Both are read off the graph: what sources lie behind the circuit, or what equipment hangs on it. The user types no current
that the equipment at its ends already states.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.code.equations.currents import (
    current_of_power_a,
    required_continuous_current_a,
    required_current_a,
)
from permitgen.rules.given import Given, MissingFactError
from permitgen.rules.quantities.branch_load import branch_load
from permitgen.rules.quantities.feeding import feeds_at, held_by_port, output_of
from permitgen.rules.quantities.pv_current import pv_dc_current
from permitgen.rules.quantities.source_output import controls_at, held_together, own_output
from permitgen.rules.quantities.storage_current import battery_circuit_current, storage_current
from permitgen.system.equipment.generator import Generator
from permitgen.system.equipment.utility_service import UtilityService
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.circuit_sides import CircuitRole, Side, fewest_loads, role_of, side_of
from permitgen.system.walks.feeds import Feeds
from permitgen.system.walks.port_currents import landing_of
from permitgen.system.walks.source_ways import sources_through
from permitgen.values.equation import one_or_sum_of, selected, sum_of
from permitgen.values.origin import Assumed
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.system.circuit import Circuit
    from permitgen.system.power_source import PowerSource

_SAME_V = 0.5

BY_DEVICE = "overcurrent_protection_of_conductors"


@dataclass(frozen=True, slots=True)
class CircuitCurrent:
    """``maximum_a`` must be carried after all factors; ``required_a`` is the basis of devices and of terminals before factors.

    ``basis`` says in words what the current is; ``provision`` the id under which 125 percent was taken.
    """

    role: CircuitRole
    maximum_a: Value
    required_a: Value
    basis: str
    provision: str

    @property
    def is_of_device(self) -> bool:
        """Whether the load is not stated and the rating of the overcurrent device stands for it."""
        return self.provision == BY_DEVICE


def role(given: Given, circuit: Circuit) -> CircuitRole:
    """Return what the circuit is, remembered."""
    return given.once_for_topology(("role", circuit.tag), lambda: role_of(given.system, circuit))


def source_side(given: Given, circuit: Circuit) -> Side:
    """Return the side of the circuit away from the utility (for dc, the side where energy comes from)."""
    return given.once_for_topology(("source side", circuit.tag), lambda: side_of(given.system, circuit, _source_end(given, circuit)))


def _source_end(given: Given, circuit: Circuit) -> str:
    """Return the end (``start`` or ``finish``) that leads to that side."""

    def find() -> str:
        sides = {end: side_of(given.system, circuit, end) for end in ("start", "finish")}
        away = [side for side in sides.values() if not side.has_utility] or list(sides.values())
        chosen = fewest_loads(away)
        return next(end for end, side in sides.items() if side is chosen)

    return given.once_for_topology(("source end", circuit.tag), find)


def sources_behind(given: Given, circuit: Circuit) -> tuple[PowerSource, ...]:
    """Return the sources whose current goes through a circuit toward the utility, in the order of the file."""

    def find() -> tuple[PowerSource, ...]:
        side = source_side(given, circuit)
        sources = side.sources
        if side.has_utility and not circuit.is_dc:  # both ends reach it: what stands at either may come through
            there = {source.id for end in ("start", "finish") for source in side_of(given.system, circuit, end).sources}
            sources = tuple(source for source in given.system.sources.values() if source.id in there)
        return sources_through(given.system, given.system.graph.conductors_of(circuit.tag), sources)

    return given.once_for_topology(("sources behind", circuit.tag), find)


def _out_of_port(given: Given, circuit: Circuit, output: Value) -> Value:
    """Return the output of the sources behind a circuit, held to what the port lets out by which they come."""
    if source_side(given, circuit).has_utility:
        return output
    return held_by_port(given, landing_of(circuit, _source_end(given, circuit)), output, circuit.tag)


def circuit_current(given: Given, circuit: Circuit) -> CircuitCurrent:
    """Return the currents of ``circuit``.

    Raises:
        MissingFactError: a source or load on it does not state its current.
    """

    def find() -> CircuitCurrent:
        return _BY_ROLE[role(given, circuit)](given, circuit)

    return given.once_for_topology(("current", circuit.tag), find)


def _continuous(given: Given, role_: CircuitRole, current: Value, basis: str, provision_id: str) -> CircuitCurrent:
    provision = given.provision(provision_id)
    required = required_continuous_current_a.derive(
        continuous_factor=provision.value("continuous_factor"),
        continuous_a=current,
        provision=provision,
        title="required current, 125 percent of the continuous current",
    )
    return CircuitCurrent(role_, current, required, basis, provision_id)


def output_of_sources(given: Given, circuit: Circuit) -> Value:
    """Return the sum of the rated outputs of the ac sources behind a circuit, A.

    Listed power control limits it where the edition takes that, and so does a port by which they come out together.
    """
    tag = circuit.tag
    sources = [s for s in sources_behind(given, circuit) if s.is_ac and s.kind != "utility"]
    outputs = [own_output(given, s) for s in sources]
    if not outputs:
        raise MissingFactError(f"sources on {tag}")
    if len(outputs) == 1:
        return outputs[0].named("I", outputs[0].title)
    titled = [(s, value.named(f"I_{s.id}", value.title)) for value, s in zip(outputs, sources, strict=True)]
    controls = controls_at(given, tag) if given.provision("source_circuit_current").flag("power_limit_counts") else ()
    named = held_together(given, controls, titled)
    provision = given.provision("source_circuit_current")
    total = sum_of(named, symbol="I", title=f"sum of the source output currents on {tag}", provision=provision)
    return _out_of_port(given, circuit, total)


def current_of_sources_behind(given: Given, circuit: Circuit, provision_id: str) -> CircuitCurrent | None:
    """Return what the ac sources behind a feeder or service send toward the utility for hours; None where there are none.

    Generators count on their own circuits. Conductors and devices carry it, whatever else hangs there.
    """
    sources = tuple(s for s in sources_behind(given, circuit) if s.kind not in ("utility", "generator") and s.is_ac)
    if not sources:
        return None
    output = _out_of_port(given, circuit, output_of(given, sources, circuit.tag))
    return _continuous(given, role(given, circuit), output, "output of the sources behind it", provision_id)


def _source_output(given: Given, circuit: Circuit) -> CircuitCurrent:
    current = output_of_sources(given, circuit)
    return _continuous(
        given, role(given, circuit), current, "rated continuous output current of the sources on the circuit", "source_conductors"
    )


def _generator_output(given: Given, circuit: Circuit) -> CircuitCurrent:
    """What the machines give, held by the device between them and the circuit; behind that device the circuit is a feeder."""
    machines = generators_behind(given, circuit)
    outputs = [generator_output(given, machine) for machine in machines]
    total = one_or_sum_of(outputs, symbol="I_gen", title=f"generators on {circuit.tag} together")
    feeds = generator_feeds(given, circuit)
    if feeds.direct:
        basis = "nameplate current of the generator"
        return CircuitCurrent(CircuitRole.GENERATOR_OUTPUT, total, total, basis, "generator_conductors")
    ahead = feeds.devices[0] if len(feeds.devices) == 1 else None
    current = total if ahead is None else _held_by(total, ahead.device.rating_a, f"what {ahead.link.part} lets through to {circuit.tag}")
    basis = "output of the generator behind its overcurrent device"
    return CircuitCurrent(CircuitRole.GENERATOR_OUTPUT, current, current, basis, "feeder_conductor_after_factors")


def generators_behind(given: Given, circuit: Circuit) -> tuple[Generator, ...]:
    """Return the generators on the side of a circuit away from the utility, in the order of the file."""
    items = (given.system.equipment[source.tag] for source in source_side(given, circuit).sources)
    return tuple(item for item in items if isinstance(item, Generator))


def generator_feeds(given: Given, circuit: Circuit) -> Feeds:
    """Return how generators feed a circuit while they run: ``direct`` where no overcurrent device stands between, else by the nearest."""
    for end in ("start", "finish"):
        feeds = feeds_at(given, circuit, end, OperatingMode.ON_GENERATOR)
        devices = tuple(feed for feed in feeds.devices if any(source.kind == "generator" for source in feed.sources))
        direct = tuple(source for source in feeds.direct if source.kind == "generator")
        if devices or direct:
            return Feeds(devices, direct)
    return Feeds((), ())


def generator_output(given: Given, machine: Generator) -> Value:
    """Return what a generator gives for long, A: its nameplate current, or the rating of its own device where that is smaller."""
    rating = machine.device.rating_a if machine.device is not None else None
    return _held_by(generator_current(given, machine), rating, f"output of {machine.tag} behind its own device")


def _held_by(current: Value, rating: Value | None, title: str) -> Value:
    if rating is None or rating.number >= current.number:
        return current
    inputs = (current, rating.named("OCPD"))
    return selected(rating.number, "a", by="smaller of", inputs=inputs, symbol=current.symbol, title=title)


def generator_current(given: Given, machine: Generator) -> Value:
    """Return the nameplate current of a generator, A: as stated, else from its power and the line-to-line voltage."""
    if machine.output_a is not None:
        return machine.output_a.named("I_gen", f"nameplate current of {machine.tag}")
    power = given.need(machine.output_va, f"nameplate current of {machine.tag}")
    return current_of_power_a.derive(
        power_va=power, volts_v=line_to_line(given), symbol="I_gen", title=f"nameplate current of {machine.tag}"
    )


def line_to_line(given: Given) -> Value:
    """Return the system's line-to-line voltage, V.

    Raises:
        MissingFactError: no service states it, or two state different ones.
    """
    services = _services(given)
    if services:
        return _of_all(given, [item.line_to_line_v for item in services], "system voltage")
    return Value(240.0, "v", Assumed("no utility service in the file; the house is taken to be 120/240 V"), "E", "line-to-line voltage")


def line_to_neutral(given: Given) -> Value:
    """Return the system's line-to-neutral voltage, V.

    Raises:
        MissingFactError: as for ``line_to_line``.
    """
    services = _services(given)
    if services:
        return _of_all(given, [item.line_to_neutral_v for item in services], "line-to-neutral voltage")
    return Value(120.0, "v", Assumed("no utility service in the file; the house is taken to be 120/240 V"), "E", "line-to-neutral voltage")


def _services(given: Given) -> tuple[UtilityService, ...]:
    equipment = given.system.equipment
    tags = given.once_for_topology("services", lambda: tuple(t for t, item in equipment.items() if isinstance(item, UtilityService)))
    return tuple(item for item in map(equipment.get, tags) if isinstance(item, UtilityService))


def _of_all(given: Given, volts: list[Value | None], name: str) -> Value:
    stated = [given.need(each, name) for each in volts]
    if any(abs(each.number - stated[0].number) > _SAME_V for each in stated):
        raise MissingFactError(f"one {name} of all services")
    return stated[0]


def circuit_volts(given: Given, circuit: Circuit) -> Value:
    """Return the voltage between the conductors of an ac circuit: as stated, else by its ungrounded conductors."""
    if circuit.volts is not None:
        return circuit.volts
    return line_to_neutral(given) if circuit.conductors.ungrounded_count == 1 else line_to_line(given)


def _branch(given: Given, circuit: Circuit) -> CircuitCurrent:
    load = branch_load(given, circuit, source_side(given, circuit).uses, circuit_volts(given, circuit))
    return CircuitCurrent(CircuitRole.BRANCH, load.maximum_a, load.required_a, load.basis, load.provision)


def _by_device(given: Given, circuit: Circuit) -> CircuitCurrent:
    """A feeder or service whose load is not stated is sized for the device that protects it."""
    role_ = role(given, circuit)
    if circuit.current_a is not None:
        provision = given.provision("continuous_load_125_percent")
        zero = Value(
            0.0,
            "a",
            Assumed("the load of the feeder is counted as not continuous unless the file says so"),
            "I_non",
            "noncontinuous current",
        )
        if circuit.continuous:
            required = required_current_a.derive(
                noncontinuous_a=zero,
                continuous_factor=provision.value("continuous_factor"),
                continuous_a=circuit.current_a,
                provision=provision,
            )
            return CircuitCurrent(role_, circuit.current_a, required, "load stated in the file", provision.id)
        return CircuitCurrent(role_, circuit.current_a, circuit.current_a, "load stated in the file", provision.id)
    rating = protecting_rating(given, circuit)
    current = selected(
        rating.number,
        "a",
        by="rating of the overcurrent device",
        inputs=(rating,),
        symbol="I",
        title=f"{circuit.tag}: load taken as the rating of its overcurrent device",
    )
    return CircuitCurrent(role_, current, current, "rating of the overcurrent device that protects it", BY_DEVICE)


def _service(given: Given, circuit: Circuit) -> CircuitCurrent:
    """Service conductors of sources alone carry their sources (705.28, 2017 705.60); others, what the service disconnect lets through."""
    side = source_side(given, circuit)
    kinds = {source.kind for source in side.sources if source.is_ac}
    if side.has_loads or side.has_utility or not kinds or "generator" in kinds:
        return _by_device(given, circuit)
    return _storage_ac(given, circuit) if kinds == {"energy storage"} else _source_output(given, circuit)


def protecting_rating(given: Given, circuit: Circuit) -> Value:
    """Return the rating of the device that protects the circuit against the utility (for service conductors, the service disconnect).

    Raises:
        MissingFactError: there is none, or its rating is not stated.
    """
    from permitgen.rules.quantities.protection import devices_protecting

    found = devices_protecting(given, circuit)
    if not found:
        raise MissingFactError(f"overcurrent device of {circuit.tag}")
    return given.need(found[0].device.rating_a, f"rating of the overcurrent device of {circuit.tag}").named("OCPD")


def _dc(given: Given, circuit: Circuit) -> CircuitCurrent:
    strings = [s for s in source_side(given, circuit).sources if s.kind == "photovoltaic" and not s.is_ac]
    current, basis = pv_dc_current(given, circuit, strings)
    return _continuous(given, CircuitRole.PV_DC, current, basis, "pv_conductor_ampacity")


def _storage_ac(given: Given, circuit: Circuit) -> CircuitCurrent:
    units = [s for s in sources_behind(given, circuit) if s.kind == "energy storage" and s.is_ac]
    current = _out_of_port(given, circuit, storage_current(given, circuit.tag, units))
    provision = "ess_conductors" if given.in_force("ess_conductors") else "source_conductors"
    return _continuous(given, role(given, circuit), current, "rated current of the storage, charging or discharging", provision)


def _storage_dc(given: Given, circuit: Circuit) -> CircuitCurrent:
    current = battery_circuit_current(given, circuit)
    return _continuous(given, CircuitRole.STORAGE_DC, current, "rated current of the battery circuit", "ess_conductors")


_BY_ROLE = {
    CircuitRole.SERVICE: _service,
    CircuitRole.FEEDER: _by_device,
    CircuitRole.BRANCH: _branch,
    CircuitRole.PV_DC: _dc,
    CircuitRole.INVERTER_OUTPUT: _source_output,
    CircuitRole.STORAGE_AC: _storage_ac,
    CircuitRole.STORAGE_DC: _storage_dc,
    CircuitRole.GENERATOR_OUTPUT: _generator_output,
    CircuitRole.SOURCE_FEEDER: _source_output,
}
