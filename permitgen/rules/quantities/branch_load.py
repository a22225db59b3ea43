"""The load of a branch circuit, read off the equipment that hangs on it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.code.equations.currents import current_of_power_a, required_continuous_current_a, required_current_a
from permitgen.rules.given import MissingFactError
from permitgen.rules.quantities.vehicle_supply import charging_current
from permitgen.system.equipment.utilization import Appliance, EVSupplyEquipment
from permitgen.values.equation import sum_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.values.value import Value

GENERAL = "continuous_load_125_percent"
VEHICLE = "ev_continuous_load"
# Loads that the code calls continuous on their branch circuit whatever their habits.
_ALWAYS_CONTINUOUS = {"water heater": "storage_water_heater_continuous", "space heating": "space_heating_continuous"}
# Loads that cycle: nobody cooks or dries at full power for three hours (common practice, no published source).
_NEVER_CONTINUOUS = ("cooking", "dryer")
_MARKED = ("air conditioning", "heat pump", "motor")


@dataclass(frozen=True, slots=True)
class BranchLoad:
    """``maximum_a`` flows; ``required_a`` is the basis of device and terminals; ``provision`` the id under which it was raised."""

    maximum_a: Value
    required_a: Value
    basis: str
    provision: str


def branch_load(given: Given, circuit: Circuit, uses: Sequence[Equipment], volts_v: Value) -> BranchLoad:
    """Return the load of a branch circuit: as stated for it or as its one piece of equipment is marked, whichever is more.

    A current stated for a circuit with several loads says that they never run together; of one load the nameplate tells no less.

    Raises:
        MissingFactError: equipment states neither current nor power.
    """
    marked = _marked(uses)
    if marked is not None and not _is_more(circuit.current_a, marked):
        return BranchLoad(marked, marked, f"minimum circuit ampacity marked on {uses[0].tag}", "specific_applications")
    if circuit.current_a is not None or len(uses) == 1:
        current = _larger(given, circuit.current_a, uses, volts_v)
        continuous = circuit.continuous if circuit.continuous is not None else is_continuous(given, uses[0])
        names = ", ".join(item.tag for item in uses)
        return _continuous(given, uses[0], current, names) if continuous else BranchLoad(current, current, f"current of {names}", GENERAL)
    return _several(given, circuit, uses, volts_v)


def _is_more(stated: Value | None, marked: Value) -> bool:
    return stated is not None and stated.number > marked.number


def _larger(given: Given, stated: Value | None, uses: Sequence[Equipment], volts_v: Value) -> Value:
    """Return the current stated for a circuit, or the nameplate's of its one load where that is more or nothing is stated."""
    item = uses[0]
    is_marked = item.is_counted_load and _states_current(item)
    if stated is not None and (len(uses) > 1 or not is_marked):
        return stated
    nameplate = load_current(given, item, volts_v)
    return stated if stated is not None and not _is_more(nameplate, stated) else nameplate


def _states_current(item: Equipment) -> bool:
    return getattr(item, "current_a", None) is not None or getattr(item, "power_va", None) is not None


def _marked(uses: Sequence[Equipment]) -> Value | None:
    """Return the minimum circuit ampacity where one air conditioner, heat pump or motor is marked with it; it has its margin already."""
    item = uses[0]
    if len(uses) != 1 or not isinstance(item, Appliance) or item.category not in _MARKED or item.minimum_circuit_ampacity_a is None:
        return None
    return item.minimum_circuit_ampacity_a.named("MCA", f"minimum circuit ampacity marked on {item.tag}")


def _continuous(given: Given, item: Equipment, current: Value, names: str) -> BranchLoad:
    id_ = _provision(given, item)
    provision = given.provision(id_)
    required = required_continuous_current_a.derive(
        continuous_factor=provision.value("continuous_factor"),
        continuous_a=current,
        provision=provision,
        title="required current, 125 percent of the continuous current",
    )
    return BranchLoad(current, required, f"continuous current of {names}", id_)


def _provision(given: Given, item: Equipment) -> str:
    special = _ALWAYS_CONTINUOUS.get(item.category, "") if isinstance(item, Appliance) else ""
    if isinstance(item, EVSupplyEquipment):
        special = VEHICLE
    return special if special and given.in_force(special) else GENERAL


def _several(given: Given, circuit: Circuit, uses: Sequence[Equipment], volts_v: Value) -> BranchLoad:
    """Add up several loads: what is not continuous, and 125 percent of what is."""
    currents = [(item, load_current(given, item, volts_v).named(f"I_{item.tag}")) for item in uses]
    every = sum_of([current for _, current in currents], symbol="I", title=f"loads on {circuit.tag}")
    always = circuit.continuous
    continuous = [current for item, current in currents if (always if always is not None else is_continuous(given, item))]
    steady = sum_of(continuous, symbol="I_cont", title=f"continuous loads on {circuit.tag}", unit="a")
    others = [current for _, current in currents if current not in continuous]
    provision = given.provision(GENERAL)
    required = required_current_a.derive(
        noncontinuous_a=sum_of(others, symbol="I_non", title=f"other loads on {circuit.tag}", unit="a"),
        continuous_factor=provision.value("continuous_factor"),
        continuous_a=steady,
        provision=provision,
    )
    return BranchLoad(every, required, f"current of {', '.join(item.tag for item in uses)}", GENERAL)


def is_continuous(given: Given, item: Equipment) -> bool:
    """Whether equipment draws its current for three hours or more, or the code counts it so.

    Raises:
        MissingFactError: it is an appliance of which neither its kind nor the project says so.
    """
    if isinstance(item, Appliance):
        if item.continuous is None and item.category in (*_ALWAYS_CONTINUOUS, *_NEVER_CONTINUOUS):
            return item.category in _ALWAYS_CONTINUOUS
        return given.need(item.continuous, f"whether {item.tag} runs for three hours or more") or item.category in _ALWAYS_CONTINUOUS
    return isinstance(item, EVSupplyEquipment)


def load_current(given: Given, item: Equipment, volts_v: Value) -> Value:
    """Return the current that utilization equipment draws at the voltage of its circuit, A.

    Raises:
        MissingFactError: it states neither current nor power.
    """
    if isinstance(item, EVSupplyEquipment):
        return charging_current(given, item).named("I_EV")
    if isinstance(item, Appliance):
        if item.current_a is not None:
            return item.current_a.named("I_load")
        power = given.need(item.power_va, f"rated current of {item.tag}")
        return current_of_power_a.derive(power_va=power, volts_v=volts_v, symbol="I_load", title=f"current of {item.tag}")
    raise MissingFactError(f"current of {item.tag}")
