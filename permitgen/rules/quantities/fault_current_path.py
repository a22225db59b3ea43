"""How conductors reduce the fault current: resistance and reactance of each run, added apart; and the scalar method beside it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.code.equations.fault_current import (
    conductor_impedance_ohm_per_kft,
    fault_current_beyond_run_a,
    fault_current_by_impedance_a,
    point_to_point_factor,
    point_to_point_multiplier_factor,
    run_ohm,
)
from permitgen.code.equations.voltage_drop import resistance_at_temperature_ohm_per_kft
from permitgen.rules.quantities.fault_current_source import SourceImpedance, source_known_at, utility_sources
from permitgen.values.conductor_size import ConductorSize
from permitgen.values.equation import one_or_sum_of, parallel_of, selected, sum_of
from permitgen.values.origin import Assumed, FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.raceway import Raceway


@dataclass(frozen=True, slots=True)
class RunImpedance:
    """One circuit in one run: resistance and reactance out and back, Ω; both per length at the table's temperature, Ω/kft."""

    length_ft: Value
    resistance_ohm: Value
    reactance_ohm: Value
    table_resistance_ohm_per_kft: Value
    table_reactance_ohm_per_kft: Value
    sets_count: Value


Ways = tuple[tuple[RunImpedance, ...], ...]


@dataclass(frozen=True, slots=True)
class FaultBeyondConductors:
    """The utility's contribution beyond a chain of circuits: the larger of both kinds of fault, and the scalar cross-check."""

    largest_a: Value
    by_kind: tuple[tuple[str, Value], ...]
    point_to_point_a: Value


def fault_beyond(given: Given, circuits: tuple[Circuit, ...], known_at: str = "") -> FaultBeyondConductors:
    """Return the utility's fault current beyond ``circuits``, those nearest to where it is known first.

    It is known at the service point, or at the equipment ``known_at`` that states it. Conductors are taken cold, and a length or
    size that is not stated does not reduce the current.

    Raises:
        MissingFactError: the utility states neither its fault current nor its transformer.
    """
    key = ("fault beyond", known_at, tuple(circuit.tag for circuit in circuits))
    return given.once(key, lambda: _compute(given, circuits, known_at))


def _compute(given: Given, circuits: tuple[Circuit, ...], known_at: str) -> FaultBeyondConductors:
    parts = [part for circuit in circuits for part in _parts(circuit, ways_of(given, circuit))]
    place = f"at {known_at}" if known_at else "at the service point"
    where = f"beyond {circuits[-1].tag}" + (f" from {known_at}" if known_at else "") if circuits else place
    resistance = sum_of([part[0] for part in parts], symbol="R_L", title=f"resistance of the conductors, {where}", unit="ohm")
    reactance = sum_of([part[1] for part in parts], symbol="X_L", title=f"reactance of the conductors, {where}", unit="ohm")
    mostly_reactive = reactance.number > resistance.number
    sources = (
        (source_known_at(given, known_at, mostly_reactive_run=mostly_reactive),)
        if known_at
        else utility_sources(given, mostly_reactive_run=mostly_reactive)
    )
    found = tuple((source.fault, _by_impedance(given, source, resistance, reactance, where)) for source in sources)
    largest = max((value for _, value in found), key=lambda value: value.number)
    if len(found) > 1:
        inputs = tuple(value for _, value in found)
        largest = selected(
            largest.number, "a", by="larger of", inputs=inputs, symbol="I_net", title=f"fault current of the utility, {where}"
        )
    return FaultBeyondConductors(largest, found, _point_to_point(sources[0], [ways_of(given, circuit) for circuit in circuits]))


def _by_impedance(given: Given, source: SourceImpedance, resistance: Value, reactance: Value, where: str) -> Value:
    return fault_current_by_impedance_a.derive(
        volts_v=source.volts_v,
        source_resistance_ohm=source.resistance_ohm,
        run_resistance_ohm=resistance,
        source_reactance_ohm=source.reactance_ohm,
        run_reactance_ohm=reactance,
        symbol="I_net",
        title=f"fault current of the utility {source.fault}, {where}",
        provision=given.provision("cold_conductor_resistance"),
    )


def ways_of(given: Given, circuit: Circuit) -> Ways:
    """Return the impedance of a circuit in each run of each of its ways; none where its conductor size is not stated."""
    size = circuit.conductors.size
    if size is None:
        return ()

    def find() -> Ways:
        return tuple(tuple(_of_run(given, circuit, size, tag) for tag in way.runs) for way in circuit.ways)

    return given.once(("run impedances", circuit.tag), find)


def _parts(circuit: Circuit, ways: Ways) -> list[tuple[Value, Value]]:
    """Return resistances and reactances that follow each other: those of the runs of one way, or of all ways side by side.

    Side by side, resistances and reactances are each taken for themselves: exact for alike ways, and never more than the true ones
    (the current that divides so that the least is lost divides by resistance alone), so that the fault current is never too small.
    """
    if len(ways) <= 1:
        return [(run.resistance_ohm, run.reactance_ohm) for way in ways for run in way]
    resistances = [
        _behind([run.resistance_ohm for run in way], f"R_{number}", f"resistance of way {number} of {circuit.tag}")
        for number, way in enumerate(ways, start=1)
    ]
    reactances = [
        _behind([run.reactance_ohm for run in way], f"X_{number}", f"reactance of way {number} of {circuit.tag}")
        for number, way in enumerate(ways, start=1)
    ]
    title = f"{circuit.tag}, {len(ways)} ways side by side"
    return [
        (
            parallel_of(resistances, symbol=f"R_{circuit.tag}", title=f"resistance of {title}"),
            parallel_of(reactances, symbol=f"X_{circuit.tag}", title=f"reactance of {title}"),
        )
    ]


def _behind(values: list[Value], symbol: str, title: str) -> Value:
    return one_or_sum_of(values, symbol=symbol, title=title)


def _of_run(given: Given, circuit: Circuit, size: ConductorSize, tag: str) -> RunImpedance:
    run = given.system.raceways[tag]
    resistance, reactance = table_impedance(given, circuit, size, run)
    cold = given.provision("cold_conductor_resistance").value("cold_c").named("T", "temperature of cold conductors")
    change = given.provision("conductor_resistance_temperature")
    cold_resistance = resistance_at_temperature_ohm_per_kft.derive(
        resistance_ohm_per_kft=resistance,
        coefficient_percent_per_c=change.value(f"{circuit.conductors.material}_percent_per_c"),
        conductor_c=cold,
        base_c=change.value("base_c"),
        provision=change,
    )
    count = Value(float(circuit.sets_in_way), "count", FromSystem(f"parallel sets of {circuit.tag}"), "n", "parallel sets")
    length = run.length_ft or Value(0.0, "ft", Assumed(f"length of {tag} not stated; no reduction counted"), "L", f"length of {tag}")
    parts = [
        run_ohm.derive(
            length_ft=length,
            per_length_ohm_per_kft=each,
            sets_count=count,
            symbol=f"{symbol}_{tag if circuit.is_split else circuit.tag}",
            title=f"{words} of {circuit.tag} in {tag}, out and back",
        )
        for each, symbol, words in ((cold_resistance, "R", "resistance"), (reactance, "X", "reactance"))
    ]
    return RunImpedance(length, parts[0], parts[1], resistance, reactance, count)


def table_impedance(given: Given, circuit: Circuit, size: ConductorSize, run: Raceway) -> tuple[Value, Value]:
    """Return resistance at 75 °C and reactance of a size in a run, Ω/kft; sizes that the table leaves out take the next larger row."""
    table = given.table("ac_impedance")
    column = f"{circuit.conductors.material}_resistance_in_{'steel' if run.is_metal else 'pvc'}"
    row: ConductorSize | None = size
    while row is not None and table.number_at(row, column) is None:
        row = row.larger()
    found = row or size
    reactance = "reactance_in_steel" if run.is_metal else "reactance_in_pvc_or_aluminum"
    return table.at(found, column).named("R", f"resistance of {found}"), table.at(found, reactance).named("X", f"reactance of {found}")


def _point_to_point(source: SourceImpedance, circuits: list[Ways]) -> Value:
    """Step along the circuits, run by run; ways side by side are one step, whose factors combine as resistances do."""
    current = source.current_a
    for ways in circuits:
        if len(ways) > 1:
            factors = [_behind([_factor(source, current, run) for run in way], "f", "factor of a way") for way in ways]
            current = _beyond(current, parallel_of(factors, symbol="f", title=f"factor of {len(ways)} ways side by side"))
            continue
        for run in (run for way in ways for run in way if run.length_ft.number != 0):
            current = _beyond(current, _factor(source, current, run))
    return current.named("I_ptp", "fault current by the point-to-point method, as a cross-check")


def _factor(source: SourceImpedance, current: Value, run: RunImpedance) -> Value:
    return point_to_point_factor.derive(
        length_ft=run.length_ft,
        fault_current_a=current,
        impedance_ohm_per_kft=conductor_impedance_ohm_per_kft.derive(
            resistance_ohm_per_kft=run.table_resistance_ohm_per_kft, reactance_ohm_per_kft=run.table_reactance_ohm_per_kft
        ),
        sets_count=run.sets_count,
        volts_v=source.volts_v,
    )


def _beyond(current: Value, factor: Value) -> Value:
    multiplier = point_to_point_multiplier_factor.derive(run_factor=factor)
    return fault_current_beyond_run_a.derive(
        fault_current_a=current, multiplier_factor=multiplier, title="fault current by the point-to-point method"
    )
