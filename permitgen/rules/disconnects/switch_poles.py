"""A switch that disconnects a service or a source opens every ungrounded conductor at once."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Verdict, all_of, does_not_apply, nearest_to_limit, require_at_least
from permitgen.rules.parts import parts_for
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.quantities.ungrounded_conductors import ungrounded_conductors
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.disconnect import Disconnect

_BY_PURPOSE = {
    "service": "service_disconnect_opens_together",
    "energy storage": "ess_disconnect",
    "generator": "generator_disconnect",
    "pv system": "source_disconnect",
}


@rule(
    "switch-poles",
    title="A switch that disconnects a service or a source opens every ungrounded conductor at once",
    provision="source_disconnect",
    judges="disconnect",
)
def judge(switch: Disconnect, given: Given) -> Judgement:
    """Judge the poles of a switch in an enclosure of its own.

    Requires: a pole for each ungrounded conductor of its circuits.
    Why: with one leg left closed the source still feeds what everybody takes for off.
    Applies to: switches of services and sources; those of PV dc circuits are told elsewhere (see pv-disconnect).
    Example that fails: a one-pole switch on the 240 V output of a battery.
    Example that passes: a two-pole switch there.
    """
    circuits = [given.system.circuits[tag] for tag in given.system.circuits_at.get(switch.tag, ())]
    circuits = [circuit for circuit in circuits if role(given, circuit) is not CircuitRole.PV_DC]
    of_source = any(role(given, circuit).is_source_output for circuit in circuits)
    if not circuits or (switch.purpose not in _BY_PURPOSE and not of_source):
        return does_not_apply(f"{switch.tag} disconnects no service and no source on ac or of a battery")
    parts = parts_for(circuits, lambda circuit: _opens_all(switch, circuit, given))
    found = all_of(switch.tag, parts)
    if found.verdict is Verdict.PASSES:
        found = nearest_to_limit(parts)
    return found.under(given.provision(_BY_PURPOSE.get(switch.purpose, "source_disconnect")))


def _opens_all(switch: Disconnect, circuit: Circuit, given: Given) -> Judgement:
    """Judge the switch against one circuit: what nobody says of another one hides nothing here."""
    own = switch.device.poles if switch.device is not None and switch.device.are_poles_stated else None
    number = given.need(switch.poles if switch.poles is not None else own, f"poles of {switch.tag}")
    poles = Value(float(number), "count", FromSystem(f"poles stated for {switch.tag}"), "n", f"poles of {switch.tag}")
    needed = ungrounded_conductors(given, circuit)
    message = f"{switch.tag}: {number} poles for {needed.figure} ungrounded conductors of {circuit.tag}"
    return require_at_least(message, computed=poles, limit=needed)
