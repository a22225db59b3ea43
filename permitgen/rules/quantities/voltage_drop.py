"""Voltage lost (or gained) along the conductors of a circuit."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from permitgen.code.equations.voltage_drop import (
    effective_impedance_ohm_per_kft,
    parallel_resistance_ohm_per_kft,
    reactive_factor,
    single_phase_voltage_drop_v,
    trunk_voltage_rise_v,
    voltage_drop_percent,
)
from permitgen.code.equations.voltage_drop import two_wire_voltage_drop_v as resistive_drop_v
from permitgen.rules.quantities.circuit_current import circuit_volts
from permitgen.rules.quantities.conductor_ampacity import runs_of
from permitgen.values.equation import one_or_sum_of, parallel_of, selected
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.raceway import Raceway


def resistance_in_run(given: Given, circuit: Circuit, run: Raceway) -> Value:
    """Return the ac resistance of the conductors in a run, Ω/kft at 75 °C, by material and kind of raceway; sets of one way in parallel."""
    size = given.need(circuit.conductors.size, f"conductor size of {circuit.tag}")
    column = f"{circuit.conductors.material}_resistance_in_{'steel' if _is_in_steel(run) else 'pvc'}"
    return _in_sets(circuit, given.table("ac_impedance").at(size, column).named("R", f"resistance of {size} {circuit.conductors.material}"))


def _is_in_steel(run: Raceway) -> bool:
    return run.is_metal or run.kind == "MC cable"


def impedance_in_run(given: Given, circuit: Circuit, run: Raceway) -> Value:
    """Return what drops voltage in a run, Ω/kft: at the stated power factor, else the larger of unity and 0.85.

    The larger is taken because resistance decides for small conductors and reactance adds for large ones.
    """
    size = given.need(circuit.conductors.size, f"conductor size of {circuit.tag}")
    table = given.table("ac_impedance")
    steel = _is_in_steel(run)
    resistance = resistance_in_run(given, circuit, run)
    if circuit.power_factor is not None:
        cosine = circuit.power_factor.named("cos φ", f"power factor of {circuit.tag}")
        reactance = _in_sets(
            circuit, table.at(size, f"reactance_in_{'steel' if steel else 'pvc_or_aluminum'}").named("X", f"reactance of {size}")
        )
        return effective_impedance_ohm_per_kft.derive(
            resistance_ohm_per_kft=resistance,
            power_factor=cosine,
            reactance_ohm_per_kft=reactance,
            reactive_factor=reactive_factor.derive(power_factor=cosine),
            provision=given.provision("effective_impedance"),
        )
    at_085 = _in_sets(circuit, table.at(size, f"{circuit.conductors.material}_impedance_in_{'steel' if steel else 'pvc'}").named("Z_e"))
    larger = max(resistance, at_085, key=lambda value: value.number)
    title = f"impedance of {circuit.tag}, power factor not stated"
    return selected(larger.number, "ohm_per_kft", by="larger of", inputs=(resistance, at_085), symbol="Z_e", title=title)


def _in_sets(circuit: Circuit, each: Value) -> Value:
    if circuit.sets_in_way == 1:
        return each
    count = Value(float(circuit.sets_in_way), "count", FromSystem(f"parallel sets of {circuit.tag}"), "n", "parallel sets")
    return parallel_resistance_ohm_per_kft.derive(resistance_ohm_per_kft=each, sets_count=count, symbol=each.symbol)


def drop_v(given: Given, circuit: Circuit, current_a: Value) -> Value:
    """Return the voltage drop of a circuit at ``current_a``, V, over all its runs.

    Raises:
        MissingFactError: a length, a size or a run is not stated.
        NotInTableError: the impedance table has no such size.
    """
    return _over_runs(given, circuit, "V_d", lambda run: _drop_in_run(given, circuit, run, current_a))


def _drop_in_run(given: Given, circuit: Circuit, run: Raceway, current_a: Value) -> Value:
    return single_phase_voltage_drop_v.derive(
        length_ft=_length(given, run),
        current_a=current_a.named("I"),
        impedance_ohm_per_kft=impedance_in_run(given, circuit, run),
        title=f"voltage drop of {circuit.tag} in {run.tag}",
    )


def rise_v(given: Given, circuit: Circuit, current_a: Value) -> Value:
    """Return the voltage rise of a circuit of sources at ``current_a``, V; sources are taken at unity power factor."""

    def in_run(run: Raceway) -> Value:
        return resistive_drop_v.derive(
            length_ft=_length(given, run),
            current_a=current_a.named("I"),
            resistance_ohm_per_kft=resistance_in_run(given, circuit, run),
            symbol="V_r",
            title=f"voltage rise of {circuit.tag} in {run.tag}",
        )

    return _over_runs(given, circuit, "V_r", in_run)


def trunk_rise_v(given: Given, circuit: Circuit, unit_a: Value, units: Value) -> Value:
    """Return the rise along a trunk to which equal units connect at equal distances over its whole length, V."""

    def in_run(run: Raceway) -> Value:
        length = _length(given, run)
        spacing = selected(
            length.number / units.number, "ft", by="length ÷ units", inputs=(length, units), symbol="s", title="spacing of units"
        )
        return trunk_voltage_rise_v.derive(
            resistance_ohm_per_kft=resistance_in_run(given, circuit, run),
            spacing_ft=spacing,
            unit_current_a=unit_a.named("I_unit"),
            units_count=units.named("n"),
            title=f"voltage rise along the trunk {circuit.tag}",
        )

    return _over_runs(given, circuit, "V_r", in_run)


def _over_runs(given: Given, circuit: Circuit, symbol: str, in_run: Callable[[Raceway], Value]) -> Value:
    """Add what runs behind one another lose. Each of several ways is taken with the whole current, then all side by side."""
    by_tag = {run.tag: in_run(run) for run in runs_of(given, circuit)}
    ways = [_in_series([by_tag[tag] for tag in way.runs], symbol) for way in circuit.ways]
    if len(ways) == 1:
        return ways[0]
    return parallel_of(ways, symbol=symbol, title=f"{ways[0].title.split(' in ')[0]}, {len(ways)} ways side by side")


def _in_series(parts: list[Value], symbol: str) -> Value:
    return one_or_sum_of(parts, symbol=symbol, title=f"{parts[0].title.split(' in ')[0]}, all runs")


def _length(given: Given, run: Raceway) -> Value:
    return given.need(run.length_ft, f"length of {run.tag}").named("L", f"length of {run.tag}")


def percent_of(given: Given, circuit: Circuit, volts: Value) -> Value:
    """Return a drop or rise of a circuit in percent of its voltage."""
    nominal = circuit_volts(given, circuit).named("E", f"voltage of {circuit.tag}")
    return voltage_drop_percent.derive(drop_v=volts, nominal_v=nominal, symbol="ΔV", title=f"{volts.title}, in percent")
