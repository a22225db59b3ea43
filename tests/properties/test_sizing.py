"""Sizing holds for all inputs: monotone in current, temperature and count; blind to length; the next smaller choice is refused.

The order of sizes, the standard ratings and the rules come from the program; what is tested is how they hang together. The factor
1.5625 of PV circuits is 1.25 × 1.25 (690.8), by hand.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from pathlib import Path

from hypothesis import given as for_all
from hypothesis import strategies as st

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluate import evaluate
from permitgen.evaluation.run_rule import run_rule
from permitgen.evaluation.sizing import Sizing, size_everything
from permitgen.project.load import load_project
from permitgen.rules.given import Given
from permitgen.rules.judgement import Verdict
from permitgen.rules.quantities.circuit_current import circuit_current
from permitgen.rules.quantities.conductor_ampacity import conductor_ampacity
from permitgen.rules.rule import all_rules
from permitgen.system.system import System
from permitgen.values.conductor_size import ALL_SIZES, ConductorSize
from permitgen.values.origin import Assumed
from permitgen.values.trade_size import TRADE_SIZES
from permitgen.values.value import Value
from tests.examples import examples

BASES = Path(__file__).parents[1] / "rules" / "bases"
EDITIONS = st.sampled_from((2017, 2020, 2023))
CURRENTS = st.integers(min_value=1, max_value=2400).map(lambda tenths: tenths / 10)
AMBIENTS = st.integers(min_value=-10, max_value=70)


@lru_cache
def base(name: str) -> System:
    return load_project(BASES / f"{name}.yaml").system


@lru_cache
def book(edition: int) -> CodeBook:
    return CodeBook(edition)


def value(number: float, unit: str) -> Value:
    return Value(number, unit, Assumed("drawn at random"))


def branch(
    current_a: float,
    *,
    ambient_c: float = 30.0,
    others: int = 0,
    length_ft: float = 60.0,
    continuous: bool = True,
    material: str = "copper",
) -> System:
    """The base with one branch circuit whose device, conductors and raceway are left open."""
    system = base("one_branch")
    appliance = replace(system.equipment["W1"], current_a=value(current_a, "a"), continuous=continuous, terminals={})
    panel = replace(system.equipment["MSP"], largest_breaker_a=value(6000.0, "a"), terminals={})
    run = replace(
        system.raceways["R1"],
        trade_size=None,
        ambient_c=value(ambient_c, "c"),
        contains_other_current_carrying=value(others, "count"),
        length_ft=value(length_ft, "ft"),
    )
    circuit = system.circuits["C1"]
    open_device = replace(circuit.start_device, rating_a=None)
    conductors = replace(circuit.conductors, size=None, egc_size=None, material=material)
    return replace(
        system,
        equipment={**system.equipment, "W1": appliance, "MSP": panel},
        raceways={**system.raceways, "R1": run},
        circuits={**system.circuits, "C1": replace(circuit, start_device=open_device, conductors=conductors)},
    )


def sized(system: System, edition: int = 2023) -> tuple[Given, dict[str, Sizing]]:
    given, made = size_everything(Given(system, book(edition)))
    return given, {sizing.what: sizing for sizing in made if sizing.tag in ("C1", "R1")}


def conductor_of(system: System, edition: int = 2023) -> ConductorSize | None:
    return sized(system, edition)[0].system.circuits["C1"].conductors.size


def not_smaller(first: ConductorSize | None, second: ConductorSize | None) -> bool:
    """Whether ``first`` is as large as ``second``; None stands for no standard size being large enough."""
    return first is None or (second is not None and first >= second)


@examples(40, deadline=None)
@for_all(CURRENTS, CURRENTS, EDITIONS)
def test_more_current_never_asks_for_a_smaller_conductor(one: float, other: float, edition: int) -> None:
    low, high = sorted((one, other))
    assert not_smaller(conductor_of(branch(high), edition), conductor_of(branch(low), edition))


@examples(40, deadline=None)
@for_all(CURRENTS, AMBIENTS, AMBIENTS)
def test_more_heat_never_asks_for_a_smaller_conductor(current: float, one: int, other: int) -> None:
    cool, hot = sorted((one, other))
    assert not_smaller(conductor_of(branch(current, ambient_c=hot)), conductor_of(branch(current, ambient_c=cool)))


@examples(40, deadline=None)
@for_all(CURRENTS, st.integers(0, 40), st.integers(0, 40))
def test_more_conductors_in_the_raceway_never_ask_for_a_smaller_one(current: float, one: int, other: int) -> None:
    few, many = sorted((one, other))
    assert not_smaller(conductor_of(branch(current, others=many)), conductor_of(branch(current, others=few)))


@examples(30, deadline=None)
@for_all(CURRENTS, st.integers(3, 2000), st.integers(3, 2000))
def test_length_does_not_change_the_conductor(current: float, one: int, other: int) -> None:
    assert conductor_of(branch(current, length_ft=one)) == conductor_of(branch(current, length_ft=other))


@examples(30, deadline=None)
@for_all(CURRENTS)
def test_aluminum_is_never_smaller_than_copper(current: float) -> None:
    assert not_smaller(conductor_of(branch(current, material="aluminum")), conductor_of(branch(current)))


@examples(40, deadline=None)
@for_all(CURRENTS, AMBIENTS, st.integers(0, 12), EDITIONS)
def test_what_is_chosen_passes_and_the_next_smaller_is_refused(current: float, ambient: int, others: int, edition: int) -> None:
    given, made = sized(branch(current, ambient_c=ambient, others=others), edition)
    circuit = given.system.circuits["C1"]
    size = circuit.conductors.size
    if size is None:
        assert made["conductor"].refused_by
        return
    assert not violations(given, "conductor", circuit)
    smaller = [
        each
        for each in ALL_SIZES
        if ConductorSize("14") <= each < size and book(edition).table("conductor_ampacity").number_at(each, "copper_90c")
    ]
    if smaller:
        thinner = replace(circuit, conductors=replace(circuit.conductors, size=smaller[-1]))
        assert violations(given.with_sizes(given.system.with_sizes_of(thinner)), "conductor", thinner)


def violations(given: Given, what: str, subject: object) -> list[str]:
    return [rule.id for rule in all_rules() if what in rule.sizes and run_rule(rule, subject, given).verdict is Verdict.VIOLATED]


@examples(60, deadline=None)
@for_all(CURRENTS, st.sampled_from((1.0, 1.25)), EDITIONS)
def test_the_device_is_the_smallest_standard_one_that_carries_the_current(current: float, factor: float, edition: int) -> None:
    given, _ = sized(branch(current, continuous=factor > 1), edition)
    device = given.system.circuits["C1"].start_device
    assert device is not None
    assert device.rating_a is not None
    needed = current * factor
    table = book(edition).table("standard_overcurrent_ratings")
    ratings = sorted(float(row) for row in table.rows_of("breakers and fuses") if row != "10")  # 10 A has few uses and is never chosen
    assert device.rating_a.number == next(rating for rating in ratings if rating >= needed - 1e-9)


@examples(30, deadline=None)
@for_all(CURRENTS)
def test_the_raceway_is_the_smallest_that_holds_what_is_in_it(current: float) -> None:
    given, _ = sized(branch(current))
    run = given.system.raceways["R1"]
    if run.trade_size is None:
        return
    assert not violations(given, "raceway", run)
    smaller = TRADE_SIZES[TRADE_SIZES.index(run.trade_size) - 1]
    if smaller != "3/8":
        tighter = replace(run, trade_size=smaller)
        assert violations(given.with_sizes(given.system.with_raceway(tighter)), "raceway", tighter)


@examples(40, deadline=None)
@for_all(CURRENTS, AMBIENTS, st.integers(0, 12))
def test_final_ampacity_is_the_smaller_of_its_two_paths(current: float, ambient: int, others: int) -> None:
    given, _ = sized(branch(current, ambient_c=ambient, others=others))
    circuit = given.system.circuits["C1"]
    if circuit.conductors.size is None:
        return
    ampacity = conductor_ampacity(given, circuit)
    assert ampacity.final_a.number == min(ampacity.terminal_a.number, ampacity.corrected_a.number)


@examples(40, deadline=None)
@for_all(st.integers(min_value=10, max_value=4000).map(lambda hundredths: hundredths / 100))
def test_pv_circuits_are_sized_for_1_5625_times_the_short_circuit_current(isc: float) -> None:
    system = base("string_inverter")
    array = system.equipment["PV1"]
    module = replace(array.module, isc_a=value(isc, "a"))
    changed = replace(system, equipment={**system.equipment, "PV1": replace(array, module=module)})
    required = circuit_current(Given(changed, book(2023)), changed.circuits["D1"]).required_a
    assert abs(required.number - 1.5625 * isc) < 1e-9 * isc


def test_a_size_that_could_not_be_chosen_asks_for_what_choosing_it_missed() -> None:
    """An attic's heat and a height above a sunlit roof (310.15(B)) are known at the site; the size is chosen from them."""
    start = base("one_branch")
    circuit = start.circuits["C1"]
    bare = replace(circuit, conductors=replace(circuit.conductors, size=None, egc_size=None))
    run = replace(start.raceways["R1"], ambient_c=None, in_attic=True, on_roof=True, trade_size=None)
    found = evaluate(start.with_sizes_of(bare).with_raceway(run), book(2023), with_suggestions=False).findings
    missing = {name for finding in found for part in finding.judgement.nested() for name in part.missing}
    asked = ("ambient temperature along R1", "height of R1 above the roof")
    assert next(f for f in found if f.id == "conductor-ampacity:C1").judgement.missing == asked
    assert not missing & {"conductor size of C1", "equipment grounding conductor size of C1", "trade size of R1"}
    assert not any("state conductor size of C1" in finding.judgement.message for finding in found)
