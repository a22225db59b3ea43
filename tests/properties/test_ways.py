"""Sets that each have a way of their own, against sets that share one way, and against circuit theory.

Two equal resistances side by side are half of one (circuit theory); a raceway that holds one set holds what a circuit of one set puts
into it. Nothing is compared with a number that this program printed before.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given as for_all
from hypothesis import strategies as st

from permitgen.code.codebook import CodeBook
from permitgen.project.load import load_project
from permitgen.rules.given import Given
from permitgen.rules.quantities.box_conductors import grounding_conductors, insulated_conductors
from permitgen.rules.quantities.conductor_ampacity import conductor_ampacity
from permitgen.rules.quantities.conductor_area import area_of_sets
from permitgen.rules.quantities.current_carrying_count import current_carrying_count
from permitgen.rules.quantities.fault_current_path import fault_beyond
from permitgen.rules.quantities.raceway_contents import raceway_contents
from permitgen.rules.quantities.voltage_drop import drop_v
from permitgen.system.circuit import Circuit, Way, one_way
from permitgen.system.system import System
from permitgen.values.conductor_size import ConductorSize
from permitgen.values.equation import parallel_of
from permitgen.values.origin import Assumed
from permitgen.values.value import Value
from tests.examples import examples

BASE = Path(__file__).parents[1] / "rules" / "bases" / "one_branch.yaml"
SIZES = st.sampled_from(("1/0", "3/0", "4/0", "250", "350", "500"))
LENGTHS = st.floats(1, 400, allow_nan=False)
KINDS = st.sampled_from(("EMT", "PVC-40", "RMC"))


@cache
def base() -> System:
    return load_project(BASE, edition="2023").system


@cache
def book() -> CodeBook:
    return CodeBook(2023)


def feet(number: float) -> Value:
    return Value(number, "ft", Assumed("drawn by the test"), "L", "length")


def amperes(number: float) -> Value:
    return Value(number, "a", Assumed("drawn by the test"), "I", "current")


def with_sets(size: str, kind: str, lengths: tuple[float | None, ...], *, sets: int, split: bool) -> tuple[Given, Circuit]:
    """Return C1 of ``sets`` sets: each in a raceway of its own, P0, P1 …, of these lengths, or all in P0."""
    system = base()
    circuit = system.circuits["C1"]
    tags = tuple(f"P{number}" for number in range(len(lengths)))
    runs = {
        tag: replace(
            system.raceways["R1"], tag=tag, kind=kind, trade_size="4", wet=False, length_ft=None if length is None else feet(length)
        )
        for tag, length in zip(tags, lengths, strict=True)
    }
    ways = tuple(Way(name=tag, runs=(tag,)) for tag in tags) if split else one_way(tags[:1])
    conductors = replace(circuit.conductors, size=ConductorSize(size), sets=sets, egc_size=ConductorSize("3"))
    circuit = replace(circuit, conductors=conductors, ways=ways)
    system = replace(system.with_circuit(circuit), raceways={**system.raceways, **runs})
    return Given(system, book()), circuit


@examples(25, deadline=None)
@for_all(SIZES, KINDS, LENGTHS)
def test_equal_ways_carry_drop_and_limit_like_sets_in_one_way(size: str, kind: str, length: float) -> None:
    """Resistance, reactance and area do not know in which of two identical raceways a set lies."""
    apart, split = with_sets(size, kind, (length, length), sets=2, split=True)
    together, whole = with_sets(size, kind, (length,), sets=2, split=False)
    current = amperes(100)
    assert drop_v(apart, split, current).number == pytest.approx(drop_v(together, whole, current).number)
    faults = [fault_beyond(each, (circuit,)) for each, circuit in ((apart, split), (together, whole))]
    assert faults[0].largest_a.number == pytest.approx(faults[1].largest_a.number)
    assert faults[0].point_to_point_a.number == pytest.approx(faults[1].point_to_point_a.number)
    assert area_of_sets(apart, split).number == area_of_sets(together, whole).number


@examples(25, deadline=None)
@for_all(SIZES, KINDS, st.integers(2, 4))
def test_a_raceway_holds_the_sets_that_lie_in_it(size: str, kind: str, sets: int) -> None:
    """One set of several in a raceway of its own is there what a circuit of one set is; the circuit carries so many times as much."""
    apart, split = with_sets(size, kind, (50.0,) * sets, sets=sets, split=True)
    single, one = with_sets(size, kind, (50.0,), sets=1, split=False)
    for tag in split.runs:
        run, alone = apart.system.raceways[tag], single.system.raceways["P0"]
        assert split.sets_in(tag) == 1
        assert current_carrying_count(apart, run).number == current_carrying_count(single, alone).number
        contents, expected = raceway_contents(apart, run), raceway_contents(single, alone)
        assert contents is not None
        assert expected is not None
        assert (contents.count, contents.area_in2.number) == (expected.count, pytest.approx(expected.area_in2.number))
    ampacity, of_one = conductor_ampacity(apart, split), conductor_ampacity(single, one)
    assert ampacity.corrected_a.number == pytest.approx(sets * of_one.corrected_a.number)
    assert ampacity.terminal_a.number == pytest.approx(sets * of_one.terminal_a.number)
    box, box_of_one = apart.system.equipment["W1"], single.system.equipment["W1"]
    assert insulated_conductors(apart, box) == {each: sets * n for each, n in insulated_conductors(single, box_of_one).items()}
    assert grounding_conductors(apart, box) == sets * grounding_conductors(single, box_of_one)


@examples(25, deadline=None)
@for_all(SIZES, KINDS, LENGTHS, LENGTHS)
def test_unequal_ways_lie_between_two_short_and_two_long_ones(size: str, kind: str, first: float, second: float) -> None:
    """A network of resistances follows each of them (Rayleigh's monotonicity law)."""
    low, high = sorted((first, second))
    drops, faults = [], []
    for lengths in ((low, low), (low, high), (high, high)):
        there, circuit = with_sets(size, kind, lengths, sets=2, split=True)
        drops.append(drop_v(there, circuit, amperes(100)).number)
        faults.append(fault_beyond(there, (circuit,)).largest_a.number)
    assert drops[0] <= drops[1] * (1 + 1e-9)
    assert drops[1] <= drops[2] * (1 + 1e-9)
    assert faults[0] >= faults[1] * (1 - 1e-9)
    assert faults[1] >= faults[2] * (1 - 1e-9)


@examples(10, deadline=None)
@for_all(SIZES, KINDS, LENGTHS)
def test_a_way_without_a_length_takes_nothing_off_the_fault_current(size: str, kind: str, length: float) -> None:
    """The safe side of an interrupting rating: the current at the near end, 9 kA of the utility's letter."""
    there, circuit = with_sets(size, kind, (length, None), sets=2, split=True)
    assert fault_beyond(there, (circuit,)).largest_a.number == pytest.approx(9000)


@for_all(st.lists(st.floats(0.001, 1000), min_size=2, max_size=5))
def test_side_by_side_conductances_add(numbers: list[float]) -> None:
    values = [Value(number, "ohm", Assumed("drawn by the test"), "R", "resistance") for number in numbers]
    found = parallel_of(values, symbol="R", title="side by side").number
    assert 1 / found == pytest.approx(sum(1 / number for number in numbers))
    assert found < min(numbers)


def test_runs_at_the_ends_and_shared_runs() -> None:
    """A: R0 R1, B: R0 R2: both sets leave through R0 and arrive through R1 and R2."""
    _, circuit = with_sets("1/0", "EMT", (50.0,), sets=2, split=False)
    circuit = replace(circuit, ways=(Way(name="A", runs=("R0", "R1")), Way(name="B", runs=("R0", "R2"))))
    assert circuit.runs == ("R0", "R1", "R2")
    assert [circuit.sets_in(tag) for tag in (*circuit.runs, "R9")] == [2, 1, 1, 0]
    assert circuit.runs_at(circuit.start) == ("R0",)
    assert circuit.runs_at(circuit.finish) == ("R1", "R2")
