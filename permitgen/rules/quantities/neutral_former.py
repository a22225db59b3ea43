"""What a neutral-forming autotransformer is rated for, and the unbalance it may see."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.code.equations.autotransformer import (
    rated_neutral_current_a,
    rated_neutral_of_winding_a,
    unbalance_current_a,
    winding_current_a,
)
from permitgen.rules.given import MissingFactError
from permitgen.rules.quantities.circuit_current import circuit_current, line_to_neutral
from permitgen.rules.quantities.load_power import load_current
from permitgen.system.graph import closed_in
from permitgen.system.operating_mode import OperatingMode
from permitgen.values.equation import selected, sum_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.autotransformer import Autotransformer
    from permitgen.system.equipment.microgrid_interconnect_device import MicrogridInterconnectDevice
    from permitgen.system.load import Load
    from permitgen.values.value import Value

_SHED = ("island", "always")


def rated_neutral(given: Given, tag: str, former: Autotransformer) -> Value:
    """Return the rated continuous neutral current of an autotransformer, A.

    Raises:
        MissingFactError: neither the current nor a kVA rating with its meaning is stated.
    """
    if former.neutral_a is not None:
        return former.neutral_a.named("I_N", f"rated neutral current of the autotransformer of {tag}")
    if former.rating_kva is None:
        raise MissingFactError(f"rated neutral current of the autotransformer of {tag}")
    volts = line_to_neutral(given)
    title = f"rated neutral current of the autotransformer of {tag}"
    if former.rating_means == "winding":
        return rated_neutral_of_winding_a.derive(winding_kva=former.rating_kva, line_to_neutral_v=volts, symbol="I_N", title=title)
    if former.rating_means == "load":
        return rated_neutral_current_a.derive(through_put_kva=former.rating_kva, line_to_neutral_v=volts, symbol="I_N", title=title)
    raise MissingFactError(f"whether the kVA of the autotransformer of {tag} count its load or its winding")


def input_current(given: Given, tag: str, former: Autotransformer) -> Value:
    """Return the rated input current, A: half of the neutral current flows in each pole of its device."""
    title = f"rated input current of the autotransformer of {tag}"
    return winding_current_a.derive(neutral_current_a=rated_neutral(given, tag, former), symbol="I_in", title=title)


@dataclass(frozen=True, slots=True)
class Unbalance:
    """Three readings of the 120 V loads of an island: both legs on, the worse leg alone, the largest start of one appliance."""

    both_legs_a: Value
    worse_leg_a: Value
    largest_start_a: Value | None


def island_unbalance(given: Given, device: MicrogridInterconnectDevice) -> Unbalance | None:
    """Return the unbalance of the 120 V loads that stay on in an island, None where there are none.

    Raises:
        MissingFactError: a load states neither power nor current.
    """
    loads = [
        load
        for load in given.system.loads.values()
        if load.shed not in _SHED and _is_behind(given, device, load.panel) and load.leg != "both"
    ]
    terms: dict[str, list[Value]] = {"L1": [], "L2": []}
    for load in loads:
        terms[load.leg].append(load_current(given, load))
    for circuit in given.system.circuits.values():
        leg = _leg_of(given, device, circuit)
        if leg:
            terms[leg].append(circuit_current(given, circuit).maximum_a.named(f"I_{circuit.tag}", f"current of {circuit.tag}"))
    if not terms["L1"] and not terms["L2"]:
        return None
    legs = [sum_of(terms[leg], symbol=f"I_{leg}", title=f"120 V loads on {leg} that run islanded", unit="a") for leg in ("L1", "L2")]
    both = unbalance_current_a.derive(leg_a_current_a=legs[0], leg_b_current_a=legs[1], title="neutral current with all of them on")
    return Unbalance(both, _worse_leg(given, terms, loads), _largest_start(loads))


def _worse_leg(given: Given, terms: dict[str, list[Value]], loads: list[Load]) -> Value:
    """One leg alone, loads that never run together with others left out."""
    apart = {load.tag for load in loads if not load.simultaneous}
    sums = []
    for leg in ("L1", "L2"):
        together = [value for value in terms[leg] if value.symbol.removeprefix("I_") not in apart]
        alone = [load_current(given, load) for load in loads if load.leg == leg and load.tag in apart]
        largest = max(alone, key=lambda value: value.number, default=None)
        kept = together if largest is None else [*together, largest]
        sums.append(sum_of(kept, symbol=f"I_{leg}", title=f"120 V loads on {leg} that can run together", unit="a"))
    worse = max(sums, key=lambda value: value.number)
    return selected(worse.number, "a", by="larger of", inputs=tuple(sums), symbol="I_N,worst", title="neutral current with one leg off")


def _largest_start(loads: list[Load]) -> Value | None:
    starts = [
        load.locked_rotor_a.named(f"LRA_{load.tag}", f"starting current of {load.name}")
        for load in loads
        if load.locked_rotor_a is not None
    ]
    return max(starts, key=lambda value: value.number, default=None)


def _is_behind(given: Given, device: MicrogridInterconnectDevice, panel: str) -> bool:
    def find() -> frozenset[str]:
        return frozenset(given.system.graph.reach([f"{device.tag}.bus"], closed_in(OperatingMode.ISLANDED)))

    nodes = given.once_for_topology(("island nodes", device.tag), find)
    bus = given.system.busbars.get(panel)
    return bus is not None and bus.node in nodes


def _leg_of(given: Given, device: MicrogridInterconnectDevice, circuit: Circuit) -> str:
    """Return the leg of a 120 V branch circuit with equipment of its own, by its breaker space; empty for other circuits."""
    if circuit.is_dc or circuit.conductors.ungrounded_count != 1 or circuit.start.position is None:
        return ""
    if not given.system.equipment[circuit.finish.tag].is_utilization_equipment or not _is_behind(given, device, circuit.start.tag):
        return ""
    row = (circuit.start.position + 1) // 2
    return "L1" if row % 2 else "L2"
