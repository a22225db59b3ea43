"""The highest dc voltage of a string stays within the limit of the building and of all equipment on it.

Either way of computing it suffices: the module's own temperature coefficient, or for crystalline silicon the factor of the table.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.code.equations.photovoltaic import modules_in_series_count
from permitgen.rules.judgement import Judgement, Remedy, all_of, any_of, does_not_apply, not_judged, require_at_most
from permitgen.rules.quantities.pv_voltage import VoltageMethod, modules_in_series_voltage, voltage_methods
from permitgen.rules.rule import rule
from permitgen.system.walks.array_place import is_on_or_in_building, is_small_dwelling
from permitgen.system.walks.dc_circuits import ports_fed
from permitgen.values.origin import Assumed
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.subjects import ArrayCircuit
    from permitgen.system.system import System

Limit = tuple[str, Value | None]


@rule(
    "pv-maximum-voltage",
    title="The highest dc voltage of a string stays within the limit of the building and of all equipment on it",
    provision="pv_maximum_voltage",
    judges="PV string",
)
def judge(circuit: ArrayCircuit, given: Given) -> Judgement:
    """Judge the string by each way of computing its voltage; one that holds suffices.

    Requires: modules in series at the lowest expected ambient ≤ 600 V on or in a dwelling, ≤ inverter input, ≤ module system voltage.
    Why: cold modules give more voltage than their nameplate; insulation and electronics fail above theirs.
    Applies to: strings without dc-to-dc converters; a ground-mounted array whose circuits touch no building is bound by its equipment only.
    Example that fails: 11 modules of 49.5 V, -0.27 %/°C, at -23 °C: 615 V on a dwelling.
    Example that passes: 10 of them: 559 V.
    """
    if circuit.array.converter is not None:
        return does_not_apply(f"{circuit.tag}: its dc-to-dc converters set its voltage")
    if circuit.array.answer("bipolar"):
        return not_judged(f"what {circuit.tag} adds to the voltage between the outer conductors of the bipolar array")
    limits = list(limits_of(circuit, given))
    methods = [_by(method, circuit, given, limits) for method in voltage_methods(given, circuit.array)]
    lowest = given.need(given.system.site.record_low_c, "lowest expected ambient temperature")
    return any_of(f"{circuit.tag}: {circuit.count.number:.0f} modules in series at {lowest.number:g} °C", methods)


def limits_of(circuit: ArrayCircuit, given: Given) -> Iterator[Limit]:
    """Yield what binds the dc voltage of a string, with None where the project does not state the number."""
    array = circuit.array
    on_building = is_on_or_in_building(given.system, array)
    if on_building is None:
        yield f"whether {array.tag} is on a building", None
    elif on_building:
        field = "dwelling_v" if is_small_dwelling(given.system) else "other_buildings_v"
        place = "a one- or two-family dwelling" if field == "dwelling_v" else "a building"
        yield (
            f"permitted on or in {place}",
            given.provision("pv_maximum_voltage").value(field).named("V_limit", f"highest dc voltage on or in {place}"),
        )
    for inverter, terminal in ports_fed(given.system, f"{array.tag}.{circuit.name}"):
        port = inverter.ports.get(terminal)
        name = f"maximum input voltage of {inverter.tag}" + (f".{terminal}" if port is not None else "")
        stated = port.largest_voltage_v if port is not None and port.largest_voltage_v is not None else inverter.largest_dc_input_v
        yield name, stated.named("V_input", name) if stated is not None else None
    module = given.need(array.module, f"module of {array.tag}")
    name = f"maximum system voltage of {module.name}"
    yield name, module.system_voltage_v.named("V_system", name) if module.system_voltage_v is not None else None


def _by(method: VoltageMethod, circuit: ArrayCircuit, given: Given, limits: list[Limit]) -> Judgement:
    if method.module_v is None:
        return replace(method.refusal or not_judged("module voltage"), method=method.name)
    provision = given.provision(method.provision)
    voltage = modules_in_series_voltage(circuit.array, circuit.name, circuit.count, method.module_v, given.provision("pv_maximum_voltage"))
    parts = [
        not_judged(what)
        if limit is None
        else require_at_most(
            f"{voltage.number:.4g} V by the {method.name}, {limit.number:g} V {what}",
            computed=voltage,
            limit=limit,
            remedies=_fewer(circuit, method.module_v, limit),
        )
        for what, limit in limits
    ]
    worst = all_of(f"{voltage.number:.4g} V by the {method.name}", parts)
    tightest = min(
        (part for part in parts if part.limit is not None), key=lambda part: part.limit.number if part.limit else 0.0, default=worst
    )
    return replace(worst, message=tightest.message if worst.holds else worst.message, method=method.name).under(provision)


def _fewer(circuit: ArrayCircuit, module_v: Value, limit: Value) -> tuple[Remedy, ...]:
    fitting = int(modules_in_series_count(limit.number, module_v.number) + 1e-9)
    if not 0 < fitting < circuit.count.number:
        return ()

    def change(system: System) -> System:
        array = circuit.array
        count = Value(float(fitting), "count", Assumed("tried as a remedy"), circuit.count.symbol, circuit.count.title)
        return system.with_equipment(replace(array, strings={**array.strings, circuit.name: count}))

    return (Remedy(f"{fitting} modules in string {circuit.name} of {circuit.array.tag}", change),)
