"""A ground fault at the far end of a circuit draws enough current to trip its device promptly.

An estimate: the magnitudes of source and loop are added, with conductors at 75 °C, so the true current is larger. The code asks
for an effective path without a number; five times the rating of the device is practice. Of sets in one way the loop of one set is taken;
ways side by side each have their phase and grounding conductor, which meet at the far end.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.fault_current import (
    ground_fault_current_a,
    ground_fault_loop_ohm,
    multiple_of_rating_factor,
    source_impedance_ohm,
)
from permitgen.rules.judgement import Judgement, Verdict, does_not_apply, require_at_least
from permitgen.rules.quantities.circuit_current import line_to_neutral, role
from permitgen.rules.quantities.fault_current_known import circuits_from_utility, known_starts
from permitgen.rules.quantities.fault_current_path import fault_beyond, table_impedance
from permitgen.rules.quantities.grounding_conductor_device import device_rating
from permitgen.rules.quantities.grounding_conductor_size import grounding_conductor_owner
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.values.equation import parallel_of, sum_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.values.value import Value

ROLES = frozenset({CircuitRole.FEEDER, CircuitRole.BRANCH, CircuitRole.STORAGE_AC, CircuitRole.INVERTER_OUTPUT, CircuitRole.SOURCE_FEEDER})


@rule(
    "ground-fault-path",
    title="A ground fault at the far end of a circuit draws enough current to trip its device promptly",
    provision="effective_fault_path",
    judges="circuit",
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the fault current through phase and grounding conductor to the far end.

    Requires: line-to-neutral voltage ÷ (source + loop) ≥ five times the rating of the device (advice).
    Why: long thin circuits may let a fault burn below the trip level of their breaker.
    Applies to: ac circuits that the utility feeds, with a wire as grounding conductor.
    Example that fails: 15 A on 14 AWG at 300 ft: 120 V over 1.9 Ω is 64 A, 4.3 times.
    Example that passes: the same circuit at 100 ft.
    """
    conductors = circuit.conductors
    if role(given, circuit) not in ROLES or not conductors.has_wire_egc or not given.system.utility_nodes:
        return does_not_apply(f"{circuit.tag}: not a circuit of this kind")
    near = _end_near_utility(given, circuit)
    if near is None:
        return does_not_apply(f"{circuit.tag}: the utility does not feed it")
    starts = known_starts(given, near)
    for start in starts:
        _need_lengths(given, start.circuits)
    rating = device_rating(given, circuit)
    volts = line_to_neutral(given)
    # Of several stated currents the smallest: it trips the device last.
    ahead = [fault_beyond(given, start.circuits, start.tag).point_to_point_a for start in starts]
    source = source_impedance_ohm.derive(volts_v=volts, fault_current_a=min(ahead, key=lambda value: value.number))
    current = ground_fault_current_a.derive(
        volts_v=volts, source_ohm=source, loop_ohm=_loop(given, circuit), provision=given.provision("effective_fault_path")
    )
    multiple = multiple_of_rating_factor.derive(fault_current_a=current, rating_a=rating)
    return require_at_least(
        f"{circuit.tag}: a ground fault at its far end draws about {current.number:.0f} A,"
        f" {multiple.number:.1f} times the {rating.figure} A breaker or fuse",
        computed=multiple,
        limit=given.provision("fault_clearing").value("rating_factor"),
        otherwise=Verdict.CAUTION,
    )


def _need_lengths(given: Given, circuits: tuple[Circuit, ...]) -> None:
    """Ask for every length ahead of the circuit: a missing one would make the fault current larger than it is."""
    for ahead in circuits:
        given.need(ahead.conductors.size, f"conductor size of {ahead.tag}")
        given.need(ahead.runs or None, f"raceway of {ahead.tag}")
        for tag in ahead.runs:
            given.need(given.system.raceways[tag].length_ft, f"length of {tag}")


def _end_near_utility(given: Given, circuit: Circuit) -> str | None:
    ends = {end: circuits_from_utility(given, f"{circuit.tag}.{end}") for end in ("start", "finish")}
    if not any(circuit in path for path in ends.values()):
        return None
    return next((f"{circuit.tag}.{end}" for end, path in ends.items() if circuit not in path), None)


def _loop(given: Given, circuit: Circuit) -> Value:
    owner = grounding_conductor_owner(given, circuit)
    size = given.need(circuit.conductors.size, f"conductor size of {circuit.tag}")
    grounding = given.need(owner.conductors.egc_size, f"equipment grounding conductor size of {owner.tag}")
    given.need(circuit.runs or None, f"raceway of {circuit.tag}")
    by_tag = {}
    for tag in circuit.runs:
        run = given.system.raceways[tag]
        phase, _ = table_impedance(given, circuit, size, run)
        ground, _ = table_impedance(given, owner, grounding, run)
        length = given.need(run.length_ft, f"length of {tag}")
        by_tag[tag] = ground_fault_loop_ohm.derive(
            length_ft=length, phase_ohm_per_kft=phase, grounding_ohm_per_kft=ground, symbol=f"R_{tag}"
        )
    title = f"phase and grounding conductor of {circuit.tag}, to the far end"
    ways = [sum_of([by_tag[tag] for tag in way.runs], symbol="R_g", title=title) for way in circuit.ways]
    return ways[0] if len(ways) == 1 else parallel_of(ways, symbol="R_g", title=f"{title}, {len(ways)} ways side by side")
