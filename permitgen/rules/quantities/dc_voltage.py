"""The highest voltages of a dc circuit: of its strings in the cold, of the batteries on it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.quantities.pv_voltage import string_maximum_voltage
from permitgen.rules.subjects import SUBJECTS
from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
from permitgen.system.walks.dc_circuits import storage_joined, strings_joined

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.values.value import Value


def dc_voltages(given: Given, circuit: Circuit) -> list[Value]:
    """Return the maximum voltages on a dc circuit, V: of each string and of each battery joined there.

    Raises:
        MissingFactError: a fact of the module, the converter, the climate or the battery is not stated.
    """
    return [*string_voltages(given, circuit), *storage_voltages(given, circuit)]


def string_voltages(given: Given, circuit: Circuit) -> list[Value]:
    """Return the maximum voltages of the strings joined on a PV dc circuit, V (690.7).

    Raises:
        MissingFactError: a fact of the module, converter or climate is not stated.
    """
    tags = {source.id for source in strings_joined(given.system, f"{circuit.tag}.start")}
    return [string_maximum_voltage(given, string) for string in SUBJECTS["PV string"](given.system) if string.tag in tags]


def storage_voltages(given: Given, circuit: Circuit) -> list[Value]:
    """Return the maximum voltages of the batteries joined on a dc circuit, V.

    Raises:
        MissingFactError: a battery states neither its maximum nor its nominal voltage.
    """
    units = [given.system.equipment[source.tag] for source in storage_joined(given.system, f"{circuit.tag}.start")]
    return [storage_voltage(given, unit) for unit in units if isinstance(unit, EnergyStorageSystem)]


def storage_voltage(given: Given, unit: EnergyStorageSystem) -> Value:
    """Return the maximum dc voltage of a storage unit, V: as stated, else its nominal voltage.

    Raises:
        MissingFactError: neither is stated.
    """
    stated = unit.fact("maximum_voltage") or unit.nominal_v
    return given.need(stated, f"maximum dc voltage of {unit.tag}").named("V_max", f"maximum dc voltage of {unit.tag}")
