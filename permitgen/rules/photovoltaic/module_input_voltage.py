"""A module in the cold stays within the input of its microinverter or dc-to-dc converter."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.photovoltaic import string_voltage_v
from permitgen.rules.judgement import Judgement, any_of, does_not_apply, not_judged, require_at_most
from permitgen.rules.quantities.pv_voltage import VoltageMethod, voltage_methods
from permitgen.rules.rule import rule
from permitgen.system.equipment.photovoltaic import ModuleInverter

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.photovoltaic import PVArray
    from permitgen.values.value import Value


@rule(
    "pv-module-input-voltage",
    title="A module in the cold stays within the input of its microinverter or dc-to-dc converter",
    provision="listed_and_instructed",
    judges="pv_array",
)
def judge(array: PVArray, given: Given) -> Judgement:
    """Judge the modules on one inverter or converter against the largest input it is rated for.

    Requires: modules on the unit × cold open-circuit voltage ≤ maximum dc input of the unit.
    Why: the first cold bright morning destroys a unit whose input is exceeded.
    Applies to: arrays with microinverters or converters; the dc part of an ac module is the manufacturer's.
    Example that fails: a module of 55.9 V at -23 °C on an input of 55 V.
    Example that passes: the same on an input of 60 V.
    """
    unit = array.module_inverter or array.converter
    if unit is None:
        return does_not_apply(f"{array.tag} has no electronics at its modules")
    if isinstance(unit, ModuleInverter) and unit.is_ac_module:
        return does_not_apply(f"{array.tag}: its dc part belongs to the listed ac modules")
    name = f"maximum dc input voltage of {unit.name}"
    limit = given.need(unit.largest_dc_input_v if isinstance(unit, ModuleInverter) else unit.largest_input_v, name).named("V_input", name)
    per_unit = given.need(array.modules_per_shutdown_unit, f"modules on each unit of {array.tag}").named(
        "n", f"modules on each {unit.name}"
    )
    lowest = given.need(given.system.site.record_low_c, "lowest expected ambient temperature")
    methods = [_by(method, per_unit, limit, given) for method in voltage_methods(given, array)]
    return any_of(f"{array.tag}: modules on a {unit.name} at {lowest.figure} °C", methods)


def _by(method: VoltageMethod, per_unit: Value, limit: Value, given: Given) -> Judgement:
    if method.module_v is None:
        return method.refusal or not_judged("module voltage")
    provision = given.provision(method.provision)
    title = "voltage at the input of one unit"
    voltage = string_voltage_v.derive(modules_count=per_unit, module_v=method.module_v, provision=provision, title=title)
    message = f"{voltage.number:.4g} V by the {method.name}, {limit.figure} V is the maximum input"
    return require_at_most(message, computed=voltage, limit=limit, method=method.name).under(provision)
