"""Metal gas piping is bonded by the ground of an appliance's circuit, or by a conductor sized for that circuit."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require, require_at_least
from permitgen.rules.quantities.conductor_area import area_of_size
from permitgen.rules.quantities.grounding_electrodes import is_untouched
from permitgen.rules.rule import rule
from permitgen.values.conductor_size import ConductorSize

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.grounding_electrode_system import GroundingElectrodeSystem


@rule(
    "gas-piping-bonding",
    title="Metal gas piping is bonded by the ground of an appliance's circuit, or by a conductor sized for that circuit",
    provision="gas_piping_bonding",
    judges="grounding_electrode_system",
)
def judge(item: GroundingElectrodeSystem, given: Given) -> Judgement:
    """Judge what bonds the metal gas piping.

    Requires: the equipment grounding conductor of the circuit that can make the piping live, or a conductor of the table's size for
        that circuit's device.
    Why: the furnace's frame is screwed to the gas pipe; a fault in it runs along the pipe.
    Applies to: buildings with metal gas piping, unless electrodes and the equipment at their conductor stay as they are; corrugated
        tubing asks for more by its own instructions.
    Example that fails: 14 AWG copper beside a circuit of 20 A.
    Example that passes: 12 AWG copper; the ground of the furnace's circuit.
    """
    by = item.word("gas_bonded_by")
    if is_untouched(given, item) or item.word("gas_piping") in ("plastic", "none") or not given.system.utility_nodes:
        return does_not_apply(f"{item.tag}: existing grounding that stays, no metal gas piping, or no service")
    if not item.answer("gas_piping_bonded"):
        return does_not_apply(f"{item.tag}: gas piping not said to be bonded (see metal-piping-bonding)")
    if not by and item.gas_bonding_size is None:
        given.need(None, f"what bonds the gas piping of {item.tag}: an appliance circuit or a conductor")
    if by == "appliance circuit":
        return require(fact=True, message=f"{item.tag}: the ground of an appliance's circuit bonds the gas piping")
    size = given.need(item.gas_bonding_size, f"conductor that bonds the gas piping of {item.tag}")
    rating = given.need(item.fact("gas_circuit_device"), f"device of the circuit that can make the gas piping of {item.tag} live")
    required = ConductorSize(given.table("equipment_grounding_conductor").band_text(rating.number, "copper").text)
    return require_at_least(
        f"{item.tag}: {size} copper bonds the gas piping; {rating.figure} A needs {required}",
        computed=area_of_size(given, size, "A_gas", f"area of the bonding conductor of the gas piping, {size}"),
        limit=area_of_size(given, required, "A_min", f"bonding conductor for {rating.figure} A, {required}"),
    )
