"""The highest dc voltage of a string stays within the limit of the building and of all equipment on it.

Either way of computing it suffices: the module's own temperature coefficient, or for crystalline silicon the factor of the table.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from permitgen.code.equations.photovoltaic import modules_in_series_count
from permitgen.rules.judgement import Judgement, Remedy, RemedyKind, all_of, any_of, does_not_apply, either_way, not_judged, require_at_most
from permitgen.rules.quantities.array_buildings import buildings_of_string, of_unknown_use, touches_building, touches_small_dwelling
from permitgen.rules.quantities.pv_voltage import VoltageMethod, modules_in_series_voltage, voltage_methods
from permitgen.rules.rule import rule
from permitgen.system.walks.dc_circuits import ports_fed
from permitgen.values.origin import Assumed
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.subjects import ArrayCircuit
    from permitgen.system.system import System


@dataclass(frozen=True, slots=True)
class Limit:
    """What binds the dc voltage of a string; ``value`` is None where the project does not state the number.

    ``otherwise`` is the limit where what is ``missing`` is answered the other way: both are judged, and only agree or leave it open.
    """

    what: str
    value: Value | None
    otherwise: Value | None = None
    missing: tuple[str, ...] = ()

    def judge(self, voltage: Value, of: str, remedies: Callable[[Value], tuple[Remedy, ...]] = lambda _limit: ()) -> Judgement:
        """Judge a voltage; ``of`` begins the message."""
        if self.value is None:
            return not_judged(self.what)
        limits = [limit for limit in (self.value, self.otherwise) if limit is not None]
        readings = [
            require_at_most(f"{of}, {limit.figure} V {self.what}", computed=voltage, limit=limit, remedies=remedies(limit))
            for limit in limits
        ]
        return either_way(readings, *self.missing)


@rule(
    "pv-maximum-voltage",
    title="The highest dc voltage of a string stays within the limit of the building and of all equipment on it",
    provision="pv_maximum_voltage",
    judges="PV string",
)
def judge(circuit: ArrayCircuit, given: Given) -> Judgement:
    """Judge the string by each way of computing its voltage; one that holds suffices.

    Requires: modules in series at the lowest expected ambient ≤ 600 V on or in a one- or two-family dwelling, 1000 V on other
        buildings, ≤ inverter input, ≤ module system voltage.
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
    return any_of(f"{circuit.tag}: {circuit.count.number:.0f} modules in series at {lowest.figure} °C", methods)


def limits_of(circuit: ArrayCircuit, given: Given) -> Iterator[Limit]:
    """Yield what binds the dc voltage of a string, with None where the project does not state the number."""
    array = circuit.array
    on_building = touches_building(given, array)
    if on_building is None:
        yield Limit(f"whether {array.tag} is on a building", None)
    elif on_building:
        yield _of_buildings(circuit, given)
    for inverter, terminal in ports_fed(given.system, f"{array.tag}.{circuit.name}"):
        port = inverter.ports.get(terminal)
        name = f"maximum input voltage of {inverter.tag}" + (f".{terminal}" if port is not None else "")
        stated = port.largest_voltage_v if port is not None and port.largest_voltage_v is not None else inverter.largest_dc_input_v
        yield Limit(name, stated.named("V_input", name) if stated is not None else None)
    module = given.need(array.module, f"module of {array.tag}")
    name = f"maximum system voltage of {module.name}"
    yield Limit(name, module.system_voltage_v.named("V_system", name) if module.system_voltage_v is not None else None)


def _of_buildings(circuit: ArrayCircuit, given: Given) -> Limit:
    """The limit of the buildings that the string touches, the dwelling's where one is a dwelling."""
    provision = given.provision("pv_maximum_voltage")
    touched = buildings_of_string(given, circuit)
    small = touches_small_dwelling(given, touched)
    names = " and ".join(name for name in touched if name) or "a building"
    dwelling = provision.value("dwelling_v").named("V_limit", "highest dc voltage on or in a one- or two-family dwelling")
    other = provision.value("other_buildings_v").named("V_limit", f"highest dc voltage on or in {names}")
    if small is None:
        return Limit(f"permitted on or in {names}", dwelling, other, of_unknown_use(given, touched))
    if small:
        return Limit("permitted on or in a one- or two-family dwelling", dwelling)
    return Limit(f"permitted on or in {names}, no one- or two-family dwelling", other)


def _by(method: VoltageMethod, circuit: ArrayCircuit, given: Given, limits: list[Limit]) -> Judgement:
    if method.module_v is None:
        return replace(method.refusal or not_judged("module voltage"), method=method.name)
    module_v = method.module_v
    provision = given.provision(method.provision)
    voltage = modules_in_series_voltage(circuit.array, circuit.name, circuit.count, module_v, given.provision("pv_maximum_voltage"))
    parts = [
        limit.judge(voltage, f"{voltage.number:.4g} V by the {method.name}", lambda most: _fewer(circuit, module_v, most))
        for limit in limits
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

    return (Remedy(f"{fitting} modules in string {circuit.name} of {circuit.array.tag}", change, RemedyKind.SMALLER),)
