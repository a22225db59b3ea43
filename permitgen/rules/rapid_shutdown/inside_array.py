"""Inside the array boundary, after rapid shutdown, one of: listed hazard control, at most 80 V, or until 2020 nothing exposed."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.code.equations.photovoltaic import string_voltage_v
from permitgen.rules.judgement import Judgement, any_of, does_not_apply, not_judged, require, require_at_most
from permitgen.rules.quantities.pv_voltage import VoltageMethod, voltage_methods
from permitgen.rules.rapid_shutdown.required import exemption
from permitgen.rules.rule import rule
from permitgen.system.walks.array_place import is_array_on_building

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.photovoltaic import PVArray


@rule(
    "rapid-shutdown-inside-array",
    title="Inside the array boundary, after rapid shutdown, one of: listed hazard control, at most 80 V, or until 2020 nothing exposed",
    provision="rapid_shutdown_inside_array",
    judges="pv_array",
)
def judge(array: PVArray, given: Given) -> Judgement:
    """Judge what remains between conductors inside the array boundary.

    Requires: a listed hazard control system, or at most 80 V within 30 s, or (until 2020) no exposed parts near grounded metal.
    Why: firefighters cut through modules and walk on them; 80 V is what the code takes for bearable there.
    Applies to: arrays on buildings that need rapid shutdown.
    Example that fails: two modules of 55.9 V in series behind one shutdown unit: 111.8 V.
    Example that passes: one module behind each: 55.9 V.
    """
    exempt = exemption(array, given)
    if exempt is not None:
        return exempt
    if is_array_on_building(array) is False:
        return does_not_apply(f"{array.tag} is on the ground; only its circuits touch a building")
    if array.module_inverter is not None and array.module_inverter.is_ac_module:
        return does_not_apply(f"{array.tag}: the dc part of ac modules has no conductors of its own")
    methods = [*_voltage(array, given), _hazard_control(array, given), _nothing_exposed(array, given)]
    return any_of(f"{array.tag}: inside the array after shutdown", methods)


def _voltage(array: PVArray, given: Given) -> list[Judgement]:
    name = f"modules on each shutdown unit of {array.tag}"
    if array.modules_per_shutdown_unit is None:
        return [replace(not_judged(name), method="voltage")]
    return [_by(method, array, given) for method in voltage_methods(given, array)]


def _by(method: VoltageMethod, array: PVArray, given: Given) -> Judgement:
    if method.module_v is None:
        return replace(method.refusal or not_judged("module voltage"), method="voltage")
    provision = given.provision("rapid_shutdown_inside_array")
    count = given.need(array.modules_per_shutdown_unit, f"modules on each shutdown unit of {array.tag}").named("n")
    title = "voltage that remains between conductors of one shutdown unit"
    remains = string_voltage_v.derive(
        modules_count=count, module_v=method.module_v, provision=given.provision(method.provision), title=title
    )
    limit = provision.value("limit_v").named("V_80", "voltage permitted inside the array")
    message = f"{remains.number:.4g} V behind each shutdown unit by the {method.name}, {limit.figure} V permitted"
    return require_at_most(message, computed=remains, limit=limit, method="voltage").under(provision)


def _hazard_control(array: PVArray, given: Given) -> Judgement:
    provision = given.provision("rapid_shutdown_inside_array")
    name = f"whether {array.tag} is a {provision.term or 'listed hazard control system'}"
    if array.is_hazard_control_listed is None:
        return replace(not_judged(name), method="hazard control").under(provision)
    if not array.is_hazard_control_listed:
        return replace(does_not_apply(f"{array.tag} is no {provision.term}"), method="hazard control").under(provision)
    return require(fact=True, message=f"a {provision.term}", method="hazard control").under(provision)


def _nothing_exposed(array: PVArray, given: Given) -> Judgement:
    provision = given.provision("rapid_shutdown_inside_array")
    if not provision.flag("no_exposed_parts_permitted"):
        return replace(does_not_apply("this edition has no such way"), method="nothing exposed").under(provision)
    answer = array.answer("no_exposed_parts")
    if not answer:
        return replace(does_not_apply(f"{array.tag} is not said to be free of exposed parts"), method="nothing exposed").under(provision)
    away = provision.value("from_grounded_metal_ft")
    message = f"no exposed wiring or conductive parts, more than {away.length} from grounded metal"
    return require(fact=True, message=message, method="nothing exposed").under(provision)
