"""Battery circuits of a dwelling stay within 100 V, or keep their live parts out of reach."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, any_of, does_not_apply, not_judged, require, require_at_most
from permitgen.rules.quantities.building_use import is_small_dwelling_at, question
from permitgen.rules.quantities.dc_voltage import storage_voltage
from permitgen.rules.quantities.siting_buildings import building_of
from permitgen.rules.rule import rule
from permitgen.system.walks.array_place import is_small_dwelling

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
    from permitgen.values.value import Value


@rule(
    "ess-dwelling-voltage",
    title="Battery circuits of a dwelling stay within 100 V, or keep their live parts out of reach",
    provision="ess_dwelling_voltage",
    judges="energy_storage_system",
)
def judge(unit: EnergyStorageSystem, given: Given) -> Judgement:
    """Judge the dc voltage of a storage unit of a dwelling.

    Requires: at most 100 V between conductors or to ground; where live parts are out of reach, from 2020 at most 600 V.
    Why: those who live with a battery are no electricians.
    Applies to: dc-coupled storage in, at or outdoors near one- and two-family dwellings, not in another building; the dc part of a
        listed ac unit is inside its listing.
    Example that fails: an open rack of 120 V.
    Example that passes: an open rack of 54 V, or a sealed one of 400 V.
    """
    building = building_of(given, unit.tag)
    small = is_small_dwelling_at(given, building) if building else is_small_dwelling(given.system)
    if small is False:
        return does_not_apply(f"{unit.tag} stands at other than a one- or two-family dwelling")
    if unit.coupling != "dc":
        return does_not_apply(f"{unit.tag} supplies ac; its batteries are inside its listing")
    voltage = storage_voltage(given, unit)
    provision = given.provision("ess_dwelling_voltage")
    limit = provision.value("dwelling_v").named("V_100", "dc voltage permitted in a dwelling")
    open_parts = require_at_most(f"{voltage.figure} V, {limit.figure} V permitted", computed=voltage, limit=limit, method="low voltage")
    judgement = any_of(f"{unit.tag}: its dc voltage", [open_parts, _out_of_reach(unit, voltage, given)])
    return judgement if small or judgement.holds else not_judged(question(building))


def _out_of_reach(unit: EnergyStorageSystem, voltage: Value, given: Given) -> Judgement:
    accessible = unit.answer("live_parts_accessible")
    if accessible is None:
        return not_judged(f"whether live parts of {unit.tag} can be reached in maintenance")
    if accessible:
        return does_not_apply(f"live parts of {unit.tag} can be reached in maintenance")
    provision = given.provision("ess_dwelling_voltage")
    if not provision.has("guarded_v"):
        return require(fact=True, message=f"{voltage.figure} V, live parts out of reach", method="out of reach")
    limit = provision.value("guarded_v").named("V_600", "dc voltage permitted where live parts are out of reach")
    message = f"{voltage.figure} V with live parts out of reach, {limit.figure} V permitted"
    return require_at_most(message, computed=voltage, limit=limit, method="out of reach")
