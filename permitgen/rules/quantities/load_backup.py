"""What must be carried without the utility, and what the sources that keep the house alive put out.

Firm sources count, those that keep an island alive by themselves: storage, inverters with storage behind them, the generator. Solar
that follows does not, being there by day only, nor a vehicle, which may be away.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from permitgen.code.equations.currents import current_of_power_a
from permitgen.code.equations.energy_storage import battery_power_w, sustained_by_batteries_a
from permitgen.rules.quantities.circuit_current import generator_output, line_to_line
from permitgen.rules.quantities.fault_current import connected
from permitgen.rules.quantities.load_calculation import vehicle_load
from permitgen.rules.quantities.load_scope import LoadScope, scope_on
from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
from permitgen.system.equipment.generator import Generator
from permitgen.system.equipment.inverter import Inverter
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.dc_circuits import storage_joined
from permitgen.values.equation import one_or_sum_of, selected
from permitgen.values.value import Value

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence, Set

    from permitgen.rules.given import Given
    from permitgen.system.power_source import PowerSource

# Lighting and receptacles are many loads, not one.
NOT_SINGLE = frozenset({"general"})


@dataclass(frozen=True, slots=True)
class BackupMode:
    """``scope`` are the loads connected; ``output_a`` the firm sources together; ``largest_load_a`` the largest that is not shed.

    ``asked`` is what would let further sources count beside the generator, empty where that is known.
    """

    scope: LoadScope
    output_a: Value
    largest_load_a: Value | None
    asked: tuple[str, ...] = ()


def backup_of(given: Given, mode: OperatingMode) -> BackupMode | None:
    """Return loads and sources of the largest connected part in a mode without the utility; None where no firm source is there.

    Raises:
        MissingFactError: an output current or the power of a load is not stated.
    """
    return given.once(("backup", mode), lambda: _find(given, mode))


def _find(given: Given, mode: OperatingMode) -> BackupMode | None:
    firm = [s for s in given.system.sources.values() if s.is_ac and s.forms_island and s.kind not in ("utility", "vehicle")]
    on_generator = mode is OperatingMode.ON_GENERATOR
    firm = [s for s in firm if on_generator or s.kind != "generator"]
    starts = [s for s in firm if s.kind == "generator" or not on_generator]
    if not starts:
        return None
    nodes = max((connected(given, s.node, mode) for s in starts), key=len)
    charging = _charging_from_generator(given, nodes) if on_generator else ()
    filled = {unit.tag for unit in charging}
    here = [s for s in firm if s.node in nodes and s.tag not in filled]
    beside = [s for s in here if s.kind != "generator"] if on_generator else []
    machines = [item for s in here if isinstance(item := given.system.equipment[s.tag], Generator)]
    may_run = may_run_beside_others(given, machines) if beside else True
    if not may_run:
        here = [s for s in here if s.kind == "generator"]
    outputs = _outputs(given, here)
    output = one_or_sum_of(outputs, symbol="ΣI_out", title=f"output of the sources, {mode}")
    scope = replace(scope_on(given, nodes, f"the house {mode}"), charging=charging, is_of_source=True)
    names = " and ".join(dict.fromkeys(s.tag for s in beside))
    asked = (f"whether {here[0].tag} is listed to run in parallel with {names}",) if may_run is None else ()
    return BackupMode(scope, output, _largest(given, scope), asked)


def may_run_beside_others(given: Given, machines: Iterable[Generator]) -> bool | None:
    """Whether one of ``machines``, or a device, is listed to run a generator beside other sources; None where nobody says."""
    answers = [machine.answer("in_parallel_listed") for machine in machines]
    answers += [item.answer("generator_in_parallel_listed") for item in given.system.equipment.values()]
    return True if True in answers else False if False in answers else None


def _outputs(given: Given, sources: Sequence[PowerSource]) -> list[Value]:
    """Return what firm sources give for hours: inverters that live on the same dc batteries no more than these give."""
    groups: dict[tuple[str, ...], list[PowerSource]] = {}
    for source in sources:
        batteries = tuple(unit.tag for unit in _batteries_of(given, source))
        groups.setdefault(batteries or (source.id,), []).append(source)
    found = []
    for members in groups.values():
        outputs = [_output(given, source) for source in members]
        units = _batteries_of(given, members[0])
        found += [_held_by_batteries(given, members, outputs, units)] if units else outputs
    return found


def _batteries_of(given: Given, source: PowerSource) -> tuple[EnergyStorageSystem, ...]:
    """Return the dc batteries behind an inverter, in the order of the file."""
    inverter = given.system.equipment[source.tag]
    if not isinstance(inverter, Inverter):
        return ()
    joined = {unit.tag for name in inverter.dc_inputs for unit in storage_joined(given.system, f"{inverter.tag}.{name}")}
    units = (item for item in given.system.equipment.values() if item.tag in joined)
    return tuple(unit for unit in units if isinstance(unit, EnergyStorageSystem))


def _held_by_batteries(
    given: Given, sources: Sequence[PowerSource], outputs: list[Value], batteries: Sequence[EnergyStorageSystem]
) -> Value:
    """Return the output of inverters, or what their batteries sustain where that is less, A.

    Raises:
        MissingFactError: a battery does not state its current or its voltage, or an inverter its efficiency.
    """
    named = " and ".join(source.tag for source in sources)
    output = one_or_sum_of(outputs, symbol="I_inv", title=f"output of {named}")
    powers = [
        battery_power_w.derive(
            discharge_a=given.need(unit.output_a, f"output current of {unit.tag}"),
            nominal_v=given.need(unit.nominal_v, f"dc voltage of {unit.tag}"),
            title=f"power of {unit.tag}",
            symbol=f"P_{unit.tag}",
        )
        for unit in batteries
    ]
    percent = min((_efficiency(given, each) for each in sources), key=lambda value: value.number)
    efficiency = Value(percent.number / 100, "factor", percent.origin, "η", percent.title, percent.spelled)
    sustained = sustained_by_batteries_a.derive(
        battery_w=one_or_sum_of(powers, symbol="P_b", title="power of the batteries together"),
        efficiency_factor=efficiency,
        volts_v=line_to_line(given),
    )
    name = f"I_{sources[0].id.replace('.', '_')}"
    smaller = min(output.number, sustained.number)
    title = f"output of {named}, no more than its batteries sustain"
    return selected(smaller, "a", by="smaller of", inputs=(output, sustained), symbol=name, title=title)


def _efficiency(given: Given, source: PowerSource) -> Value:
    stated: Value | None = getattr(given.system.equipment[source.tag], "efficiency_percent", None)
    return given.need(stated, f"efficiency of {source.tag}").named("η", f"efficiency of {source.tag}")


def _output(given: Given, source: PowerSource) -> Value:
    machine = given.system.equipment[source.tag]
    name = f"I_{source.id.replace('.', '_')}"
    if isinstance(machine, Generator):
        return generator_output(given, machine).named(name)
    rated = machine.output_a if isinstance(machine, Inverter) else None
    passed = source.island_output_a
    if passed is not None and rated is not None and rated.number < passed.number:
        # A load port passes the utility's current on; islanded there is only what the inverter itself makes.
        title = f"output of {source.id} without the utility"
        return selected(rated.number, "a", by="smaller of", inputs=(rated, passed), symbol=name, title=title)
    return given.need(passed or source.limit_a or source.output_a, f"output current of {source.id}").named(name)


def _charging_from_generator(given: Given, nodes: Set[str]) -> tuple[EnergyStorageSystem, ...]:
    """Return the ac storage that the generator fills beside the loads; storage that feeds an island does not charge from it.

    Raises:
        MissingFactError: a unit does not say whether it charges from the generator.
    """
    units = [item for item in given.system.equipment.values() if isinstance(item, EnergyStorageSystem) and item.coupling == "ac"]
    here = [unit for unit in units if f"{unit.tag}.output" in nodes]
    asked = {unit.tag: given.need(unit.answer("charges_from_generator"), f"whether {unit.tag} charges from the generator") for unit in here}
    return tuple(unit for unit in here if asked[unit.tag])


def _largest(given: Given, scope: LoadScope) -> Value | None:
    kept = [load for load in scope.without(("island", "always")).loads if load.category not in NOT_SINGLE]
    if not kept:
        return None
    powers = [(load, vehicle_load(given, load) if load.category == "ev supply equipment" else load.power_va) for load in kept]
    load, power = max(powers, key=lambda pair: pair[1].number)
    current = current_of_power_a.derive(
        power_va=power, volts_v=line_to_line(given), symbol="I_1", title=f"largest single load ({load.name})"
    )
    inputs = tuple(value for _, value in powers)
    title = f"largest single load ({load.name})"
    return (
        current
        if len(powers) == 1
        else selected(current.number, "a", by="largest of", inputs=(current, *inputs), symbol="I_max", title=title)
    )
