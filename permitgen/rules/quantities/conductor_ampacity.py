"""What a circuit's conductors carry: before factors at the terminals, after factors along each run."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.code.equations.ampacity import corrected_ampacity_a, parallel_ampacity_a, rooftop_ambient_c
from permitgen.rules.given import MissingFactError
from permitgen.rules.quantities.current_carrying_count import current_carrying_count
from permitgen.rules.quantities.terminal_rating import terminal_rating_c
from permitgen.values.equation import selected
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.raceway import Raceway
    from permitgen.values.conductor_size import ConductorSize


@dataclass(frozen=True, slots=True)
class RunAmpacity:
    """Ampacity of the conductors in one run, after correction and adjustment."""

    run: Raceway | None
    insulation_c: Value
    ambient_c: Value
    count: Value
    corrected_a: Value


@dataclass(frozen=True, slots=True)
class ConductorAmpacity:
    """``terminal_a`` before factors at the terminals' temperature; ``corrected_a`` after factors in the governing run.

    ``final_a`` is the smaller of both: what the conductors may be said to carry.
    """

    terminal_c: Value
    terminal_a: Value
    runs: tuple[RunAmpacity, ...]
    corrected_a: Value
    final_a: Value


def conductor_ampacity(given: Given, circuit: Circuit) -> ConductorAmpacity:
    """Return the ampacity of the circuit's conductors.

    Raises:
        MissingFactError: size, insulation, ambient or a length is not stated.
        NotInTableError: the code has no ampacity for the size and material.
    """
    return given.once(("ampacity", circuit.tag), lambda: _compute(given, circuit))


def _compute(given: Given, circuit: Circuit) -> ConductorAmpacity:
    size = given.need(circuit.conductors.size, f"conductor size of {circuit.tag}")
    terminal_c = terminal_rating_c(given, circuit)
    terminal_a = _in_parallel(circuit, _table_ampacity(given, circuit, size, terminal_c, "A_term", "ampacity at the terminals"))
    runs = tuple(_run_ampacity(given, circuit, size, run) for run in _runs(given, circuit))
    governing = _governing(given, circuit, runs)
    final = terminal_a if terminal_a.number <= governing.corrected_a.number else governing.corrected_a
    final_a = selected(
        final.number,
        "a",
        by="smaller of",
        inputs=(terminal_a, governing.corrected_a),
        symbol="A",
        title=f"ampacity of the conductors of {circuit.tag}",
        provision=given.provision("ampacity_method"),
    )
    return ConductorAmpacity(terminal_c, terminal_a, runs, governing.corrected_a, final_a)


def _runs(given: Given, circuit: Circuit) -> list[Raceway]:
    if not circuit.runs:
        raise MissingFactError(f"raceway of {circuit.tag}")
    return [given.system.raceways[tag] for tag in circuit.runs]


def _in_parallel(circuit: Circuit, each: Value) -> Value:
    if circuit.conductors.sets == 1:
        return each
    count = Value(float(circuit.conductors.sets), "count", FromSystem(f"parallel sets of {circuit.tag}"), "n", "parallel sets")
    return parallel_ampacity_a.derive(sets_count=count, ampacity_a=each, symbol=each.symbol, title=f"{each.title}, all sets")


def _table_ampacity(given: Given, circuit: Circuit, size: ConductorSize, rating_c: Value, symbol: str, title: str) -> Value:
    """Read the raceway table in the column of ``rating_c``."""
    column = f"{circuit.conductors.material}_{rating_c.number:.0f}c"
    return given.table("conductor_ampacity").at(size, column).named(symbol, title)


def insulation_rating_c(given: Given, circuit: Circuit, run: Raceway | None) -> Value:
    """Return the temperature at which the ampacity column may be read in this run: wet where the run is wet or buried."""
    name = given.need(circuit.conductors.insulation or None, f"insulation of {circuit.tag}")
    place = "wet" if run is not None and (run.is_wet or run.buried) else "dry"
    return given.table("insulation_temperature_rating").at(name.upper(), place).named("T_ins", f"temperature rating of {name}, {place} location")


def _ambient(given: Given, circuit: Circuit, run: Raceway) -> Value:
    stated = run.ambient_c or given.system.site.design_high_c
    if stated is None:
        raise MissingFactError(f"ambient temperature along {run.tag}")
    ambient = stated.named("T_a", f"ambient temperature along {run.tag}")
    if run.above_roof_in is None:
        return ambient
    provision = given.provision("rooftop_temperature_adder")
    if circuit.conductors.insulation.upper() in provision.words("exempt_insulation"):
        return ambient
    if run.above_roof_in.number >= provision.value("below_height_in").number:
        return ambient
    return rooftop_ambient_c.derive(ambient_c=ambient, added_rise_c=provision.value("added_rise_c"), provision=provision)


def _run_ampacity(given: Given, circuit: Circuit, size: ConductorSize, run: Raceway) -> RunAmpacity:
    insulation = insulation_rating_c(given, circuit, run)
    start = _table_ampacity(given, circuit, size, insulation, "A_table", f"ampacity at {insulation.number:.0f} °C")
    ambient = _ambient(given, circuit, run)
    factor = given.table("ambient_correction").band(ambient.number, f"rated_{insulation.number:.0f}c").named("F_t", f"ambient correction at {ambient.number:.0f} °C")
    count = current_carrying_count(given, run)
    adjustment = _adjustment(given, run, count)
    corrected = corrected_ampacity_a.derive(
        table_ampacity_a=start,
        correction_factor=factor,
        adjustment_factor=adjustment,
        provision=given.provision("ampacity_method"),
        title=f"ampacity after factors in {run.tag}",
    )
    return RunAmpacity(run, insulation, ambient, count, _in_parallel(circuit, corrected))


def _adjustment(given: Given, run: Raceway, count: Value) -> Value:
    nipple = given.provision("nipple_adjustment")
    limit = nipple.value("longest_in")
    if run.is_filled and run.length_ft is not None and run.length_ft.number * 12 <= limit.number + 1e-9:
        return selected(
            1.0, "factor", by="no adjustment in a nipple", inputs=(run.length_ft, limit), symbol="F_n", title=f"adjustment for count in {run.tag}, a nipple", provision=nipple
        )
    return given.table("conductor_count_adjustment").band(count.number, "adjustment").named("F_n", f"adjustment for {count.number:.0f} current-carrying conductors in {run.tag}")


def _governing(given: Given, circuit: Circuit, runs: tuple[RunAmpacity, ...]) -> RunAmpacity:
    """The lowest run governs, unless it is short: at most 10 ft and at most 10 percent of the rest (lower ampacity exception)."""
    lowest = min(runs, key=lambda run: run.corrected_a.number)
    if len(runs) == 1:
        return lowest
    rest = [run for run in runs if run is not lowest]
    next_lowest = min(rest, key=lambda run: run.corrected_a.number)
    if next_lowest.corrected_a.number == lowest.corrected_a.number:
        return lowest
    provision = given.provision("lower_ampacity_governs")
    short = lowest.run.length_ft if lowest.run is not None else None
    long = [run.run.length_ft for run in rest if run.run is not None and run.run.length_ft is not None]
    if short is None or len(long) != len(rest):
        return lowest
    total = sum(length.number for length in long)
    within = short.number <= provision.value("longest_ft").number and short.number <= provision.value("share_factor").number * total + 1e-9
    return next_lowest if within else lowest
