"""Conductors of 8 AWG and larger in raceways are stranded."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.rule import rule
from permitgen.values.conductor_size import ConductorSize
from permitgen.values.origin import Assumed
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit


@rule(
    "stranded-in-raceway",
    title="Conductors of 8 AWG and larger in raceways are stranded",
    provision="stranded_in_raceway",
    judges="circuit",
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the stranding of a circuit's conductors.

    Requires: stranded conductors from 8 AWG where they are pulled into raceways.
    Why: solid conductors of that size cannot be pulled through bends without damage.
    Applies to: circuits with a run in a raceway; solid cable armor and open wiring are free.
    Example that fails: solid 8 AWG copper in EMT.
    Example that passes: stranded 8 AWG copper in EMT.
    """
    size = given.need(circuit.conductors.size, f"conductor size of {circuit.tag}")
    smallest = ConductorSize(given.provision("stranded_in_raceway").text("from_size"))
    if size < smallest:
        return does_not_apply(f"{circuit.tag}: {size} may be solid")
    if not any(given.system.raceways[tag].is_filled for tag in circuit.runs):
        return does_not_apply(f"{circuit.tag} runs in no raceway")
    if circuit.conductors.fine_stranded:
        return require(fact=True, message=f"{circuit.tag}: {size}, fine-stranded")
    stranding = circuit.conductors.stranding
    if not stranding:
        strands = given.table("conductor_properties").number_at(("stranded", size.name), "strands") or 0.0
        taken = Value(
            strands, "count", Assumed(f"building wire of {smallest} and larger is sold stranded"), "n", f"strands of {circuit.tag}"
        )
        return require(
            fact=True, message=f"{circuit.tag}: {size}, taken as stranded, as building wire of this size is sold", values=(taken,)
        )
    return require(stranding == "stranded", f"{circuit.tag}: {size}, {stranding}")
