"""A door before live PV parts that anybody can reach is locked or opened with a tool."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, at_most, does_not_apply, require
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.quantities.dc_voltage import string_voltages
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.equipment import Equipment


@rule(
    "pv-live-parts-door",
    title="A door before live PV parts that anybody can reach is locked or opened with a tool",
    provision="pv_live_parts_door",
    judges="equipment",
)
def judge(item: Equipment, given: Given) -> Judgement:
    """Judge the door of a switch or combiner of PV.

    Requires: a door that is locked or needs a tool, or one behind which no live part is bare.
    Why: strings stay live as long as the sun shines, whatever the switch says.
    Applies to: switches of PV systems and combiners of PV dc circuits, above 30 V, readily accessible.
    Example that fails: a plain door on a combiner of 400 V at grade.
    Example that passes: a door that opens with a tool.
    """
    circuits = [given.system.circuits[tag] for tag in given.system.circuits_at.get(item.tag, ())]
    dc = [circuit for circuit in circuits if role(given, circuit) is CircuitRole.PV_DC]
    if not item.door_lays_live_parts_bare or item.status == "existing" or not (dc or getattr(item, "purpose", "") == "pv system"):
        return does_not_apply(f"{item.tag} is no new switch and no combiner of PV")
    reach = item.place.readily_accessible if item.place is not None else None
    if reach is False:
        return does_not_apply(f"{item.tag} is not readily accessible")
    if dc and _is_low(dc, given):
        return does_not_apply(f"{item.tag}: its strings stay at a voltage that needs no door")
    given.need(reach, f"whether {item.tag} is readily accessible")
    door = item.word("door")
    message = f"{item.tag}: its door is {door}"
    return require(door != "plain" if door else None, message, missing=f"what opens the door of {item.tag}: locked, a tool, or plain")


def _is_low(circuits: list[Circuit], given: Given) -> bool:
    limit = given.provision("pv_live_parts_door").value("above_v")
    volts = [each for circuit in circuits for each in string_voltages(given, circuit)]
    return bool(volts) and all(at_most(each, limit) for each in volts)
