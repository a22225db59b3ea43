"""How many current-carrying conductors share a run."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.raceway import Raceway


def current_carrying_count(given: Given, run: Raceway) -> Value:
    """Return the number of current-carrying conductors in a run.

    Cables in a run of cables are counted apart (each cable is its own assembly). The neutral of a 3-wire 120/240 V circuit and
    equipment grounding conductors are not counted; the neutral of a 2-wire circuit is.
    """
    return given.once(("count", run.tag), lambda: _count(given, run))


def _count(given: Given, run: Raceway) -> Value:
    circuits = [given.system.circuits[tag] for tag in given.system.circuits_in_run[run.tag]]
    each = [_of_circuit(circuit) for circuit in circuits]
    if run.is_cable:
        number = max(each, default=0)
        return Value(float(number), "count", FromSystem(f"conductors of one cable in {run.tag}"), "n", f"current-carrying conductors in each cable of {run.tag}")
    number = sum(each) + run.contains_other_current_carrying
    names = ", ".join(circuit.tag for circuit in circuits)
    return Value(float(number), "count", FromSystem(f"counted on {names}"), "n", f"current-carrying conductors in {run.tag}")


def _of_circuit(circuit: Circuit) -> int:
    conductors = circuit.conductors
    per_set = conductors.ungrounded_count + (1 if conductors.has_neutral and conductors.ungrounded_count == 1 else 0)
    return per_set * conductors.sets
