"""PV dc circuits are grounded in a way that the code permits: in nearly every house functionally, through the inverter."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require, require_at_most
from permitgen.rules.parts import parts_for
from permitgen.rules.quantities.array_buildings import touches_building
from permitgen.rules.rule import rule
from permitgen.system.walks.dc_circuits import inverters_fed
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.inverter import Inverter
    from permitgen.system.equipment.photovoltaic import PVArray

SOLID = "solidly grounded"


@rule(
    "pv-system-grounding",
    title="PV dc circuits are grounded in a way that the code permits: in nearly every house functionally, through the inverter",
    provision="pv_system_grounding",
    judges="pv_array",
)
def judge(array: PVArray, given: Given) -> Judgement:
    """Judge the grounding of the dc circuits of an array.

    Requires: functional grounding through the inverter, ungrounded or bipolar circuits; solid grounding only for two circuits at most
        that are not on a building.
    Why: a second ground on a solidly grounded circuit carries current that no fuse and no detector sees.
    Applies to: arrays with strings; what lies between a module and its own inverter is part of that listed inverter.
    Example that fails: three solidly grounded strings on a roof.
    Example that passes: strings on a listed inverter that grounds them functionally.
    """
    if not array.strings:
        return does_not_apply(f"{array.tag}: no dc circuits beyond the microinverters")
    found = {inverter.tag: inverter for name in array.strings for inverter in inverters_fed(given.system, f"{array.tag}.{name}")}
    given.need(found or None, f"inverter of {array.tag}")
    return all_of(
        f"{array.tag}: grounding of its dc circuits", parts_for(found.values(), lambda inverter: _through(given, array, inverter))
    )


def _through(given: Given, array: PVArray, inverter: Inverter) -> Judgement:
    grounding = given.need(inverter.word("dc_grounding") or None, f"grounding of the dc circuits of {inverter.tag}")
    if grounding != SOLID:
        return require(fact=True, message=f"{array.tag}: dc circuits of {inverter.tag} {grounding}")
    if given.need(touches_building(given, array), f"whether {array.tag} and its circuits touch a building"):
        return require(fact=False, message=f"{array.tag}: solidly grounded dc circuits on {array.on_building or 'a building'}")
    number = Value(float(len(array.strings)), "count", FromSystem("counted on the array"), "n", f"strings of {array.tag}")
    limit = given.provision("pv_system_grounding").value("solid_strings_count")
    return require_at_most(f"{array.tag}: {len(array.strings)} solidly grounded strings off buildings", computed=number, limit=limit)
