"""The inlet of a portable generator fits its device, its conductors and the machine, and its pins are dead without the plug."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import (
    Judgement,
    all_of,
    at_least,
    at_most,
    does_not_apply,
    not_judged,
    require,
    require_at_least,
    require_at_most,
)
from permitgen.rules.parts import parts_for, parts_of
from permitgen.rules.quantities.circuit_current import generator_current
from permitgen.rules.quantities.conductor_ampacity import conductor_ampacity
from permitgen.rules.rule import rule
from permitgen.system.equipment.generator import Generator
from permitgen.system.operating_mode import OperatingMode
from permitgen.values.figure import figure

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit, End
    from permitgen.system.equipment.generator import PowerInlet
    from permitgen.system.overcurrent_device import OvercurrentDevice
    from permitgen.values.value import Value


@rule(
    "generator-inlet",
    title="The inlet of a portable generator fits its device, its conductors and the machine, and its pins are dead without the plug",
    provision="transfer_equipment",
    judges="power_inlet",
)
def judge(inlet: PowerInlet, given: Given) -> Judgement:
    """Judge one inlet, from its pins to the breaker behind it.

    Requires: device behind it ≤ its rating; conductors ≥ its rating; the machine's current ≤ its rating, or a device in it that is;
        machine at most 15 kW; male contacts, and no source but the generator that reaches them in any mode.
    Why: pins stick out into the open; if the house can feed them, whoever pulls the plug holds 240 V.
    Applies to: power inlets.
    Example that fails: 30 A inlet on a 50 A breaker; or on a plain breaker without an interlock: its pins are live from the utility.
    Example that passes: 30 A inlet, 10 AWG copper, 30 A breaker interlocked with the main.
    """
    parts = parts_of(
        lambda: _by_rating(inlet, given), lambda: _male(inlet, given), lambda: _pins(inlet, given), lambda: _machine(inlet, given)
    )
    return all_of(f"{inlet.tag}: it fits what is behind it, and its pins are de-energized without the plug", parts)


def _rating(inlet: PowerInlet, given: Given) -> Value:
    return given.need(inlet.rating_a, f"rating of {inlet.tag}").named("R", f"rating of {inlet.tag}")


def _by_rating(inlet: PowerInlet, given: Given) -> list[Judgement]:
    rating = _rating(inlet, given)
    circuits = (given.system.circuits[tag] for tag in given.system.circuits_at.get(inlet.tag, ()))
    return [*parts_for(circuits, lambda circuit: _circuit(given, circuit, inlet, rating)), *_large(inlet, given, rating)]


def _circuit(given: Given, circuit: Circuit, inlet: PowerInlet, rating: Value) -> list[Judgement]:
    """The conductors follow the inlet, because the machine's own device may be anything up to it."""
    end, device = _far(given, circuit, inlet)
    return parts_of(lambda: _behind(given, inlet, rating, end, device), lambda: _carries(given, circuit, rating))


def _carries(given: Given, circuit: Circuit, rating: Value) -> Judgement:
    ampacity = conductor_ampacity(given, circuit).final_a
    message = f"{circuit.tag} carries {ampacity.number:.4g} A behind an inlet of {rating.figure} A"
    return require_at_least(message, computed=ampacity, limit=rating)


def _behind(given: Given, inlet: PowerInlet, rating: Value, end: End, device: OvercurrentDevice | None) -> Judgement:
    """On a transfer switch no device stands behind the inlet; then the one in the machine has to be known."""
    if device is None:
        machine = given.system.equipment.get(inlet.generator)
        if isinstance(machine, Generator) and machine.device is not None:
            return does_not_apply(f"no overcurrent device at {end}; the one in {machine.tag} protects")
        return not_judged(f"overcurrent device at {end}, or in the generator of {inlet.tag}")
    behind = given.need(device.rating_a, f"rating of the breaker or fuse at {end}").named(
        "I_device", f"rating of the breaker or fuse at {end}"
    )
    message = f"{inlet.tag}: {rating.figure} A, the breaker or fuse at {end} is {behind.figure} A"
    return require_at_most(message, computed=behind, limit=rating)


def _far(given: Given, circuit: Circuit, inlet: PowerInlet) -> tuple[End, OvercurrentDevice | None]:
    starts_here = circuit.start.tag == inlet.tag
    end, device = (circuit.finish, circuit.finish_device) if starts_here else (circuit.start, circuit.start_device)
    terminal = given.system.terminal_at(end)
    return end, device or (terminal.built_in if terminal is not None else None)


def _male(inlet: PowerInlet, given: Given) -> Judgement:
    male = inlet.answer("male_contacts")
    message = f"{inlet.tag} has {'male' if male else 'female'} contacts"
    found = require(male, message, missing=f"whether the contacts of {inlet.tag} are male")
    return found.under(given.provision("inlet_pins_dead"))


def _large(inlet: PowerInlet, given: Given, rating: Value) -> list[Judgement]:
    """From the stated rating on, an inlet is not pulled under load: a disconnect is interlocked with it."""
    provision = given.provision("generator_inlet")
    limit = provision.value("interlocked_from_a").named("R_interlocked", "rating from which an inlet has an interlocked disconnect")
    if not at_least(rating, limit):
        return []
    message = f"{inlet.tag}: {rating.figure} A, from {limit.figure} A a disconnect is interlocked with the inlet"
    missing = f"whether a disconnect is interlocked with {inlet.tag}"
    return [require(inlet.answer("interlocked_disconnect"), message, missing=missing).under(provision)]


def _pins(inlet: PowerInlet, given: Given) -> list[Judgement]:
    """Without the plug nothing may reach the pins. On the generator only what forms an island by itself would still be there."""
    provision = given.provision("inlet_pins_dead")
    live = [f"{source} ({mode})" for mode in given.system.modes for source in _reaching(inlet, given, mode)]
    text = f"reached by {', '.join(live)}" if live else "de-energized in every mode"
    return [require(not live, f"{inlet.tag}: without the plug its pins are {text}").under(provision)]


def _reaching(inlet: PowerInlet, given: Given, mode: OperatingMode) -> list[str]:
    nodes = given.system.graph.reach([inlet.pins], lambda link: mode in link.closed_in and link.handle != inlet.tag)
    alone = mode is OperatingMode.ON_GENERATOR
    sources = (s for s in given.system.sources.values() if s.tag != inlet.generator and s.node in nodes and (s.forms_island or not alone))
    return list(dict.fromkeys(source.tag for source in sources))


def _machine(inlet: PowerInlet, given: Given) -> list[Judgement]:
    machine = given.system.equipment.get(inlet.generator)
    if not isinstance(machine, Generator):
        return [not_judged(f"generator that is plugged into {inlet.tag}")]
    return parts_of(lambda: _fits(machine, given, _rating(inlet, given)), lambda: _small_enough(machine, given))


def _fits(machine: Generator, given: Given, rating: Value) -> Judgement:
    """A machine of more amperes than the inlet has an outlet with a device that fits, or it does not fit."""
    own = machine.device.rating_a if machine.device is not None else None
    current = own.named("I_own", f"device in {machine.tag}") if own is not None else generator_current(given, machine)
    if own is None and not at_most(current, rating):
        return not_judged(f"overcurrent device of the outlet of {machine.tag}, whose nameplate is {current.number:.4g} A")
    what = "its own device" if own is not None else "its nameplate"
    return require_at_most(f"{machine.tag}: {what} is {current.number:.4g} A, the inlet {rating.figure} A", computed=current, limit=rating)


def _small_enough(machine: Generator, given: Given) -> Judgement:
    provision = given.provision("generator_inlet")
    if machine.output_va is None:
        return not_judged(f"power of {machine.tag}")
    if not machine.is_portable:
        return does_not_apply(f"{machine.tag} is permanently installed; its disconnect is checked with it")
    limit = provision.value("portable_to_va").named("S_max", "largest portable generator on an inlet without a disconnect")
    power = machine.output_va.named("S_gen", f"power of {machine.tag}")
    most = f"at most {figure(limit.number / 1000)} kW without a disconnect in sight"
    message = f"{machine.tag}: {figure(power.number / 1000)} kW on an inlet, {most}"
    return require_at_most(message, computed=power, limit=limit).under(provision)
