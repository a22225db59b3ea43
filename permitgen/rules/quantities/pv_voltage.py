"""The highest dc voltage of modules and strings, by each way the code permits."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.code.equations.photovoltaic import (
    cold_module_voltage_by_table_v,
    cold_module_voltage_by_volts_v,
    cold_module_voltage_v,
    string_voltage_v,
)
from permitgen.rules.given import MissingFactError
from permitgen.rules.judgement import Judgement, does_not_apply, not_judged
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.subjects import ArrayCircuit
    from permitgen.system.equipment.photovoltaic import Module, PVArray


@dataclass(frozen=True, slots=True)
class VoltageMethod:
    """One permitted way to the voltage of a module in the cold; ``refusal`` says why it gives none."""

    name: str
    provision: str
    module_v: Value | None
    refusal: Judgement | None


def voltage_methods(given: Given, array: PVArray) -> tuple[VoltageMethod, ...]:
    """Return the ways to the open-circuit voltage of one module at the lowest expected ambient.

    Raises:
        MissingFactError: module, its open-circuit voltage or the lowest ambient temperature is not stated.
    """
    return given.once_for_topology(("pv voltage methods", array.tag), lambda: (_by_coefficient(given, array), _by_table(given, array)))


def _module(given: Given, array: PVArray) -> tuple[Module, Value, Value]:
    module = given.need(array.module, f"module of {array.tag}")
    rated = given.need(module.voc_v, f"open-circuit voltage of {module.name}")
    return module, rated, given.need(given.system.site.record_low_c, "lowest expected ambient temperature")


def _by_coefficient(given: Given, array: PVArray) -> VoltageMethod:
    module, rated, lowest = _module(given, array)
    provision = given.provision("pv_voltage_by_coefficient")
    reference = provision.value("reference_c")
    voltage: Value | None = None
    if module.voc_percent_per_c is not None:
        voltage = cold_module_voltage_v.derive(
            open_circuit_v=rated,
            coefficient_percent_per_c=module.voc_percent_per_c,
            lowest_c=lowest,
            reference_c=reference,
            provision=provision,
        )
    elif module.voc_v_per_c is not None:
        voltage = cold_module_voltage_by_volts_v.derive(
            open_circuit_v=rated, coefficient_v_per_c=module.voc_v_per_c, lowest_c=lowest, reference_c=reference, provision=provision
        )
    refusal = None if voltage is not None else not_judged(f"temperature coefficient of the open-circuit voltage of {module.name}")
    return VoltageMethod("module's temperature coefficient", provision.id, voltage, refusal)


def _by_table(given: Given, array: PVArray) -> VoltageMethod:
    module, rated, lowest = _module(given, array)
    provision = given.provision("pv_voltage_by_table")
    name = "factor of the table"
    if module.is_crystalline_silicon is None:
        return VoltageMethod(name, provision.id, None, not_judged(f"whether {module.name} is crystalline silicon"))
    if not module.is_crystalline_silicon:
        reason = f"{module.name} is not crystalline silicon, so the table does not serve"
        return VoltageMethod(name, provision.id, None, does_not_apply(reason))
    factor = given.table("pv_voltage_correction").band(lowest.number, "voltage").named("F_V", f"voltage factor at {lowest.figure} °C")
    voltage = cold_module_voltage_by_table_v.derive(open_circuit_v=rated, voltage_factor=factor, provision=provision)
    return VoltageMethod(name, provision.id, voltage, None)


def cold_module_voltage(given: Given, array: PVArray) -> Value:
    """Return the voltage of one module in the cold: by its coefficient where that is given, else by the table.

    Raises:
        MissingFactError: neither way can be gone.
    """
    methods = voltage_methods(given, array)
    found = next((method.module_v for method in methods if method.module_v is not None), None)
    if found is None:
        raise MissingFactError(*(name for method in methods if method.refusal is not None for name in method.refusal.missing))
    return found


def modules_in_series_voltage(array: PVArray, name: str, count: Value, module_v: Value, provision: object) -> Value:
    """Return the voltage of the modules of a string in series."""
    title = f"maximum voltage of {array.tag} string {name}"
    return string_voltage_v.derive(modules_count=count, module_v=module_v, provision=provision, title=title)


def converters_on(given: Given, circuit: ArrayCircuit) -> Value:
    """Return the number of dc-to-dc converters in series on a string.

    Raises:
        MissingFactError: how many modules share a converter is not stated.
    """
    per_unit = given.need(circuit.array.modules_per_shutdown_unit, f"modules on each converter of {circuit.array.tag}")
    number = -(-circuit.count.number // per_unit.number)
    origin = FromSystem(f"{circuit.count.figure} modules, {per_unit.figure} on each converter")
    return Value(number, "count", origin, "N", f"converters in series on {circuit.tag}")


def string_maximum_voltage(given: Given, circuit: ArrayCircuit) -> Value:
    """Return the maximum dc voltage of a string: of its converters where it has some, else of its modules in the cold.

    Raises:
        MissingFactError: a fact of the module, converter or climate is not stated.
    """
    return given.once_for_topology(("string voltage", circuit.tag), lambda: _string_voltage(given, circuit))


def _string_voltage(given: Given, circuit: ArrayCircuit) -> Value:
    if circuit.array.converter is not None:
        return converter_string_voltage(given, circuit)
    module_v = cold_module_voltage(given, circuit.array)
    return modules_in_series_voltage(circuit.array, circuit.name, circuit.count, module_v, given.provision("pv_maximum_voltage"))


def converter_string_voltage(given: Given, circuit: ArrayCircuit) -> Value:
    """Return the voltage of converters in series: as their instructions fix it, else the sum of their rated outputs.

    Raises:
        MissingFactError: the rated output voltage or the number of converters is not stated.
    """
    converter = given.need(circuit.array.converter, f"converter of {circuit.array.tag}")
    if converter.string_voltage_v is not None:
        return converter.string_voltage_v.named("V_max", f"voltage of {circuit.tag} as the instructions of its converters fix it")
    name = f"rated maximum output voltage of {converter.name}"
    each = given.need(converter.output_v, name).named("V_conv", name)
    provision = given.provision("pv_converter_voltage")
    title = f"sum of the maximum output voltages of the converters on {circuit.tag}"
    return string_voltage_v.derive(modules_count=converters_on(given, circuit), module_v=each, provision=provision, title=title)
