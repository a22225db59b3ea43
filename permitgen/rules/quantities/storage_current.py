"""The current of storage circuits: charging or discharging, whichever is more, never their sum."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from permitgen.code.equations.energy_storage import governing_storage_current_a, inverter_input_current_a
from permitgen.rules.given import MissingFactError
from permitgen.rules.quantities.source_output import own_output
from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
from permitgen.system.equipment.inverter import Inverter
from permitgen.system.walks.dc_circuits import inverters_beyond, inverters_fed, ports_beyond, ports_fed, storage_beyond, storage_joined
from permitgen.values.equation import selected, sum_of
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.power_source import PowerSource


def storage_current(given: Given, tag: str, sources: list[PowerSource]) -> Value:
    """Return the current of a circuit that serves the storage units ``sources``, A: the sum of what governs in each.

    Raises:
        MissingFactError: a unit states no output current.
    """
    currents = [unit_current(given, source) for source in sources]
    if not currents:
        raise MissingFactError(f"storage on {tag}")
    if len(currents) == 1:
        return currents[0]
    named = [current.named(f"I_{source.tag}") for current, source in zip(currents, sources, strict=True)]
    return sum_of(named, symbol="I", title=f"sum of the storage currents on {tag}", provision=given.provision("ess_current"))


def unit_current(given: Given, source: PowerSource) -> Value:
    """Return the larger of a unit's charging and discharging current, A; power control limits the discharge where the edition takes it.

    Raises:
        MissingFactError: the unit states no output current.
    """
    discharge = own_output(given, source).named("I_dis", f"discharge current of {source.id}")
    unit = given.system.equipment[source.tag]
    if not isinstance(unit, EnergyStorageSystem) or unit.charge_a is None:
        return discharge
    charge = unit.charge_a.named("I_chg", f"charging current of {unit.tag}")
    provision = given.provision("ess_current")
    return governing_storage_current_a.derive(
        charge_a=charge, discharge_a=discharge, provision=provision, symbol="I", title=f"current of {unit.tag}"
    )


def battery_circuit_current(given: Given, circuit: Circuit) -> Value:
    """Return the current of a battery circuit, A: what the batteries on one side state, or what the inverters on the other draw.

    Of an inverter input circuit both count, and the larger governs. Where several batteries share an inverter, the circuit of one of them
    carries what that battery states, for the draw of the inverter divides among them.

    Raises:
        MissingFactError: neither is stated, or an inverter whose draw counts does not state it: what its batteries give alone is no bound.
    """
    found = _by_sides(given, circuit)
    if not found:
        raise MissingFactError(
            f"discharge current of the storage on {circuit.tag}, or power, lowest voltage and efficiency of its inverter"
        )
    return _larger(given, found, f"current of the battery circuit {circuit.tag}")


def dc_busbar_current(given: Given, tag: str, node: str) -> Value:
    """Return the largest current that a dc busbar carries, A: what its batteries give together or what its inverters draw.

    Raises:
        MissingFactError: a battery states no discharge current, or an inverter not what it draws.
    """
    units = list(storage_joined(given.system, node))
    drawn = _drawn(given, tag, ports_fed(given.system, node))
    found = [storage_current(given, tag, units), *([drawn] if drawn is not None else [])]
    return _larger(given, found, f"current of the dc busbar {tag}")


def _by_sides(given: Given, circuit: Circuit) -> list[Value]:
    """Return what the sides of a circuit say of its current, for each direction in which batteries feed inverters."""
    system, link = given.system, given.system.graph.conductors_of(circuit.tag)
    found: list[Value] = []
    if not inverters_fed(system, f"{circuit.tag}.start"):
        return [storage_current(given, circuit.tag, list(storage_joined(system, f"{circuit.tag}.start")))]
    for here, there in (("start", "finish"), ("finish", "start")):
        giving, taking = f"{circuit.tag}.{here}", f"{circuit.tag}.{there}"
        units, inverters = list(storage_beyond(system, link, giving)), inverters_beyond(system, link, taking)
        if not units or not inverters:
            continue
        shares_inverter = bool(storage_beyond(system, link, taking))
        shares_battery = bool(inverters_beyond(system, link, giving))
        neither_alone = shares_inverter and shares_battery
        if all(unit.output_a is not None for unit in units) and (not shares_battery or neither_alone):
            found.append(storage_current(given, circuit.tag, units))
        drawn = _drawn(given, circuit.tag, ports_beyond(system, link, taking)) if not shares_inverter or neither_alone else None
        found += [drawn] if drawn is not None else []
    return found


def _larger(given: Given, found: list[Value], title: str) -> Value:
    if len(found) == 1:
        return found[0]
    largest = max(found, key=lambda value: value.number)
    provision = given.provision("ess_current")
    return selected(largest.number, "a", by="larger of", inputs=tuple(found), symbol="I", title=title, provision=provision)


def _drawn(given: Given, tag: str, inputs: Iterable[tuple[Inverter, str]]) -> Value | None:
    """Return what inverters draw together by their inputs, A; None where there is none.

    Raises:
        MissingFactError: one of them does not state it.
    """
    currents = [_input_current(given, inverter, name) for inverter, name in inputs]
    if not currents:
        return None
    if len(currents) == 1:
        return currents[0]
    named = [current.named(f"I_dc_{number}") for number, current in enumerate(currents, start=1)]
    return sum_of(named, symbol="I_dc", title=f"input current of the inverters on {tag}", provision=given.provision("ess_current"))


def _input_current(given: Given, inverter: Inverter, name: str) -> Value:
    """Return what an inverter draws by a dc input, A: as its port states it, else its rated output at the lowest voltage of the input."""
    port = inverter.ports.get(name)
    if port is not None and port.largest_input_a is not None:
        return port.largest_input_a.named("I_dc", f"largest input current of {inverter.tag}.{name}")
    power, efficiency = inverter.output_va, inverter.efficiency_percent
    lowest = port.lowest_voltage_v if port is not None and port.lowest_voltage_v is not None else inverter.lowest_dc_input_v
    asked = {f"rated power of {inverter.tag}": power, f"lowest voltage at which {inverter.tag} works": lowest}
    asked[f"efficiency of {inverter.tag}"] = efficiency
    if power is None or lowest is None or efficiency is None:
        raise MissingFactError(*(what for what, value in asked.items() if value is None))
    watts = Value(power.number, "w", power.origin, "P", f"rated output of {inverter.tag}", power.spelled)
    share = Value(efficiency.number / 100, "factor", efficiency.origin, "η", f"efficiency of {inverter.tag}", efficiency.spelled)
    provision = given.provision("ess_current")
    title = f"input current of {inverter.tag} at its lowest voltage"
    return inverter_input_current_a.derive(
        rated_power_w=watts, lowest_input_v=lowest.named("V_min"), efficiency_factor=share, provision=provision, title=title
    )
