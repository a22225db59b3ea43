"""The insulation of dc conductors is rated for the highest voltage of their circuit."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, at_most, does_not_apply, require_at_most
from permitgen.rules.quantities.dc_voltage import dc_voltages
from permitgen.rules.quantities.insulation import INSULATION_OF_CABLE
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.values.value import Value


@rule(
    "conductor-voltage",
    title="The insulation of dc conductors is rated for the highest voltage of their circuit",
    provision="conductor_voltage",
    judges="circuit",
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the voltage for which conductors are marked against the strings and batteries on them.

    Requires: maximum voltage of each string and battery on the circuit ≤ voltage rating of the insulation. Every type of the table is
        rated for 600 V at least; what is above that stands in the marking.
    Why: insulation that is too thin breaks down under a roof, where nothing opens a dc arc but shutdown.
    Applies to: dc circuits of strings and batteries.
    Example that fails: conductors marked 600 V on a string of 840 V.
    Example that passes: PV wire marked 1000 V there.
    """
    highest = max(dc_voltages(given, circuit), key=lambda value: value.number, default=None) if circuit.is_dc else None
    if highest is None:
        return does_not_apply(f"{circuit.tag} is no dc circuit of strings or batteries")
    rated = _rated(given, circuit, highest)
    message = f"{circuit.tag}: {highest.number:.4g} V, its conductors are insulated for {rated.figure} V"
    return require_at_most(message, computed=highest, limit=rated)


def _rated(given: Given, circuit: Circuit, highest: Value) -> Value:
    """The marking; where it is not stated, what every type of building wire is rated for, as long as that is enough."""
    missing = f"insulation voltage of the conductors of {circuit.tag}"
    if circuit.conductors.insulation_v is not None:
        return circuit.conductors.insulation_v.named("V_ins", missing)
    kinds = [given.system.raceways[tag].kind for tag in circuit.runs]
    types = {INSULATION_OF_CABLE.get(kind, circuit.conductors.insulation) for kind in kinds} or {circuit.conductors.insulation}
    given.need(all(types) or None, f"insulation of {circuit.tag}")
    known = {str(row).casefold() for row in given.table("insulation_temperature_rating").rows}
    least = given.provision("building_wire_voltage").value("rated_v")
    is_enough = {each.casefold() for each in types} <= known and at_most(highest, least)
    return given.need(least if is_enough else None, missing).named("V_ins", missing)
