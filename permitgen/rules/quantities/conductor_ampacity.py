"""What a circuit's conductors carry: before factors at the terminals, after factors along each run."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.code.equations.ampacity import corrected_ampacity_a, parallel_ampacity_a, rooftop_ambient_c
from permitgen.code.rounding import whole_degrees_up
from permitgen.rules.given import MissingFactError
from permitgen.rules.judgement import at_least, at_most
from permitgen.rules.quantities.current_carrying_count import current_carrying_count, is_bundled_in_insulation
from permitgen.rules.quantities.governing_run import governing_ampacity
from permitgen.rules.quantities.insulation import insulation_rating
from permitgen.rules.quantities.run_temperature import design_ambient_c
from permitgen.rules.quantities.terminal_rating import terminal_rating_c
from permitgen.rules.quantities.units_of_length import length_in
from permitgen.system.raceway import METAL_WIREWAY
from permitgen.values.equation import selected
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.quantities.insulation import InsulationRating
    from permitgen.system.circuit import Circuit
    from permitgen.system.raceway import Raceway
    from permitgen.values.conductor_size import ConductorSize


@dataclass(frozen=True, slots=True)
class RunAmpacity:
    """Ampacity of the conductors in one run, after correction and adjustment.

    ``table_a`` is what the table gives one conductor, ``ambient_factor`` and ``count_factor`` what it is multiplied by.
    """

    run: Raceway
    insulation: InsulationRating
    ambient_c: Value
    count: Value
    table_a: Value
    ambient_factor: Value
    count_factor: Value
    corrected_a: Value

    @property
    def has_factors(self) -> bool:
        """Whether the ambient or the number of conductors changes what the table gives."""
        return self.ambient_factor.number != 1.0 or self.count_factor.number != 1.0


@dataclass(frozen=True, slots=True)
class ConductorAmpacity:
    """``terminal_a`` before factors at the terminals' temperature; ``corrected_a`` after factors in the ``governing`` run.

    ``final_a`` is the smaller of both: what the conductors may be said to carry. ``terminal_c`` is the column read for the
    terminals, never above what the insulation allows.
    """

    terminal_c: Value
    terminal_a: Value
    runs: tuple[RunAmpacity, ...]
    governing: RunAmpacity
    corrected_a: Value
    final_a: Value

    @property
    def has_factors(self) -> bool:
        """Whether correction or adjustment changes the ampacity of any run."""
        return any(run.has_factors for run in self.runs)


@dataclass(frozen=True, slots=True)
class TerminalAmpacity:
    """``ampacity_a`` before factors, read in the column ``column_c`` of the terminals; no ambient and no count enters it.

    ``held_by`` is the insulation that holds it to a lower column than the terminals; None where the terminals decide.
    """

    column_c: Value
    ampacity_a: Value
    held_by: InsulationRating | None = None


def terminal_ampacity(given: Given, circuit: Circuit) -> TerminalAmpacity:
    """Return what the conductors carry at the terminals, before factors.

    Raises:
        MissingFactError: size, insulation or a run is not stated.
        NotInTableError: the code has no ampacity for the size and material, or the insulation is not for wet locations.
    """
    return given.once(("ampacity at the terminals", circuit.tag), lambda: _at_terminals(given, circuit))


def _at_terminals(given: Given, circuit: Circuit) -> TerminalAmpacity:
    size = given.need(circuit.conductors.size, f"conductor size of {circuit.tag}")
    lowest = min((insulation_rating(given, circuit, run, size) for run in runs_of(given, circuit)), key=lambda each: each.final_c.number)
    column = _terminal_column(given, circuit, lowest.final_c)
    ampacity = in_parallel(circuit, _table_ampacity(given, circuit, size, column, "A_term", "ampacity at the terminals"))
    is_held = lowest.final_c.number < terminal_rating_c(given, circuit).number
    return TerminalAmpacity(column, ampacity, lowest if is_held else None)


def conductor_ampacity(given: Given, circuit: Circuit) -> ConductorAmpacity:
    """Return the ampacity of the circuit's conductors.

    Raises:
        MissingFactError: size, insulation, ambient or a run is not stated.
        NotInTableError: the code has no ampacity for the size and material, or the insulation is not for wet locations.
    """
    return given.once(("ampacity", circuit.tag), lambda: _compute(given, circuit))


def _compute(given: Given, circuit: Circuit) -> ConductorAmpacity:
    size = given.need(circuit.conductors.size, f"conductor size of {circuit.tag}")
    runs = tuple(_run_ampacity(given, circuit, size, run) for run in runs_of(given, circuit))
    terminals = terminal_ampacity(given, circuit)
    terminal_c, terminal_a = terminals.column_c, terminals.ampacity_a
    governing, corrected = _over_ways(given, circuit, runs)
    final_a = selected(
        min(terminal_a.number, corrected.number),
        "a",
        by="smaller of",
        inputs=(terminal_a, corrected),
        symbol="A",
        title=f"ampacity of the conductors of {circuit.tag}",
        provision=given.provision("ampacity_method"),
    )
    return ConductorAmpacity(terminal_c, terminal_a, runs, governing, corrected, final_a)


def _over_ways(given: Given, circuit: Circuit, runs: tuple[RunAmpacity, ...]) -> tuple[RunAmpacity, Value]:
    """Return the run that governs and the ampacity after factors.

    Of ways side by side the weakest decides for every set, for alike sets share alike.
    """
    by_tag = {run.run.tag: run for run in runs}
    found = [governing_ampacity(given, circuit.tag, [by_tag[tag] for tag in way.runs]) for way in circuit.ways]
    if len(found) == 1:
        return found[0]
    governing, lowest = min(found, key=lambda each: each[1].number)
    title = f"ampacity of {circuit.tag} after factors, by its weakest way"
    provision, inputs = given.provision("parallel_conductors"), tuple(value for _, value in found)
    return governing, selected(lowest.number, "a", by="lowest of", inputs=inputs, symbol="A_corr", title=title, provision=provision)


def runs_of(given: Given, circuit: Circuit) -> list[Raceway]:
    """Return the runs of a circuit, each once.

    Raises:
        MissingFactError: the file names none.
    """
    if not circuit.runs:
        raise MissingFactError(f"raceway of {circuit.tag}")
    return [given.system.raceways[tag] for tag in circuit.runs]


def _terminal_column(given: Given, circuit: Circuit, limit: Value) -> Value:
    """Return the column read for the terminals: their rating, but never more than an insulation on the way allows."""
    terminals = terminal_rating_c(given, circuit)
    if limit.number >= terminals.number:
        return terminals
    return selected(
        limit.number, "c", by="lower of", inputs=(terminals, limit), symbol="T_term", title=f"column for the terminals of {circuit.tag}"
    )


def in_parallel(circuit: Circuit, each: Value) -> Value:
    """Return what all parallel sets of a circuit carry together, where one carries ``each``."""
    if circuit.conductors.sets == 1:
        return each
    count = Value(float(circuit.conductors.sets), "count", FromSystem(f"parallel sets of {circuit.tag}"), "n", "parallel sets")
    return parallel_ampacity_a.derive(sets_count=count, ampacity_a=each, symbol=each.symbol, title=f"{each.title}, all sets")


def _table_ampacity(given: Given, circuit: Circuit, size: ConductorSize, rating_c: Value, symbol: str, title: str) -> Value:
    """Read the raceway table in the column of ``rating_c``; terminals are always read from it."""
    column = f"{circuit.conductors.material}_{rating_c.number:.0f}c"
    return given.table("conductor_ampacity").at(size, column).named(symbol, title)


def _start_ampacity(given: Given, circuit: Circuit, size: ConductorSize, run: Raceway, insulation_c: Value) -> Value:
    """Read the table from which correction starts: free air only for conductors that the file says are kept apart."""
    title = f"ampacity at {insulation_c.number:.0f} °C"
    if not (run.is_free_air and run.answer("spaced")):
        return _table_ampacity(given, circuit, size, insulation_c, "A_table", title)
    column = f"{circuit.conductors.material}_{insulation_c.number:.0f}c"
    return given.table("free_air_ampacity").at(size, column).named("A_table", f"{title}, free air")


def _surroundings(given: Given, circuit: Circuit, run: Raceway) -> tuple[Value, Value]:
    """Return the ambient temperature around a run, and the same with the rooftop adder where it applies.

    Raises:
        MissingFactError: neither the run nor the site states a design temperature, the run states none and may pass an attic, or how
            high it lies above a sunlit roof is not stated; whoever is asked is asked for all of it.
    """
    missing: list[str] = []
    around: Value | None = None
    is_heated = False
    try:
        around = _ambient_of(given, run)
    except MissingFactError as ambient:
        missing += ambient.names
    try:
        is_heated = _is_heated_by_roof(given, circuit, run)
    except MissingFactError as height:
        missing += height.names
    if around is None or missing:
        raise MissingFactError(*missing)
    if not is_heated:
        return around, around
    adder = given.provision("rooftop_temperature_adder")
    return around, rooftop_ambient_c.derive(ambient_c=around, added_rise_c=adder.value("added_rise_c"), provision=adder)


def _is_heated_by_roof(given: Given, circuit: Circuit, run: Raceway) -> bool:
    """Whether the rooftop adder applies.

    Raises:
        MissingFactError: how high a run lies above a sunlit roof is not stated.
    """
    if run.above_roof_in is None and not _is_on_sunlit_roof(run):
        return False
    provision = given.provision("rooftop_temperature_adder")
    if circuit.conductors.insulation.upper() in provision.words("exempt_insulation"):
        return False
    return not at_least(given.need(run.above_roof_in, f"height of {run.tag} above the roof"), provision.value("below_height_in"))


def _ambient_of(given: Given, run: Raceway) -> Value:
    """Return the ambient temperature around a run.

    In the open air it is no less than the design temperature of the site, in the ground no less than that of the earth, whatever is stated.

    Raises:
        MissingFactError: neither the run nor the site states a design temperature, or the run states none and may pass an attic.
    """
    site = given.system.site
    stated = design_ambient_c(given, run)
    title = stated.title
    least = site.design_high_c if run.in_open_air else site.ground_c if run.underground else None
    if least is not None and least.number > stated.number:
        return selected(least.number, "c", by="higher of", inputs=(stated, least), symbol="T_a", title=title)
    return stated


def _not_as_stated(run: Raceway, taken: Value) -> str:
    """Say that a stated ambient was set aside; empty where it holds."""
    if run.ambient_c is None or taken.number <= run.ambient_c.number:
        return ""
    return f", the site's own temperature above the stated {run.ambient_c.number:.0f} °C"


def _is_on_sunlit_roof(run: Raceway) -> bool:
    """Whether a run lies on a roof, and neither modules nor anything else is said to shade it."""
    return run.on_roof and not run.answer("within_array") and run.answer("in_sun") is not False


def _run_ampacity(given: Given, circuit: Circuit, size: ConductorSize, run: Raceway) -> RunAmpacity:
    insulation = insulation_rating(given, circuit, run, size)
    around, ambient = _surroundings(given, circuit, run)
    factor = _ambient_factor(given, ambient, insulation.start_c)
    count = current_carrying_count(given, run)
    adjustment = _adjustment(given, run, count)
    table = _start_ampacity(given, circuit, size, run, insulation.start_c)
    correction = factor.named("F_t", f"ambient correction at {ambient.number:.0f} °C{_not_as_stated(run, around)}")
    corrected = corrected_ampacity_a.derive(
        table_ampacity_a=table,
        correction_factor=correction,
        adjustment_factor=adjustment,
        provision=given.provision("ampacity_method"),
        title=f"ampacity after factors in {run.tag}",
    )
    return RunAmpacity(run, insulation, ambient, count, table, correction, adjustment, in_parallel(circuit, corrected))


def _ambient_factor(given: Given, ambient: Value, insulation_c: Value) -> Value:
    """Read the correction factor; where the ambient reaches the rating of the insulation nothing may flow (310.14(A)(3))."""
    if ambient.number >= insulation_c.number:
        by = "ambient not below the rating of the insulation"
        inputs, provision = (ambient, insulation_c), given.provision("ampacity_method")
        title = f"ambient correction at {ambient.number:.0f} °C"
        return selected(0.0, "factor", by=by, inputs=inputs, symbol="F_t", title=title, provision=provision)
    return given.table("ambient_correction").band(whole_degrees_up(ambient.number), f"rated_{insulation_c.number:.0f}c")


def _adjustment(given: Given, run: Raceway, count: Value) -> Value:
    if run.kind == METAL_WIREWAY:
        wireway = given.provision("metal_wireway_adjustment")
        most = wireway.value("most_count")
        if at_most(count, most):
            by, told = "no adjustment in a metal wireway", f"adjustment for count in {run.tag}, a metal wireway"
            return selected(1.0, "factor", by=by, inputs=(count, most), symbol="F_n", title=told, provision=wireway)
    nipple = given.provision("nipple_adjustment")
    limit = nipple.value("longest_in")
    title = f"adjustment for count in {run.tag}, at most 24 in long"
    if run.length_ft is not None and at_most(length_in(run.length_ft), limit) and not is_bundled_in_insulation(given, run):
        by = "no adjustment in a short run"
        return selected(1.0, "factor", by=by, inputs=(run.length_ft, limit), symbol="F_n", title=title, provision=nipple)
    table = given.table("conductor_count_adjustment")
    return table.band(count.number, "adjustment").named(
        "F_n", f"adjustment for {count.number:.0f} current-carrying conductors in {run.tag}"
    )
