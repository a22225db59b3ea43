"""A steel raceway holds all conductors of each alternating-current circuit in it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.raceway import Raceway


@rule(
    "induced-heating",
    title="A steel raceway holds all conductors of each alternating-current circuit in it",
    provision="induced_heating",
    judges="raceway",
)
def judge(raceway: Raceway, given: Given) -> Judgement:
    """Judge what a steel raceway encloses.

    Requires: every conductor of a circuit in the same raceway; of parallel sets, whole sets, which a way for each set says.
    Why: steel around one conductor alone is the core of a transformer with one turn: it heats until insulation fails.
    Applies to: metal raceways with ac circuits; metal raceways count as steel unless the file says nonferrous.
    Example that fails: two parallel sets with L1 in one steel conduit and L2 in the other.
    Example that passes: the same sets with L1, L2, neutral and ground in each conduit.
    """
    if not raceway.is_metal:
        return does_not_apply(f"{raceway.tag}: {raceway.kind} is not steel")
    if raceway.answer("nonferrous"):
        return does_not_apply(f"{raceway.tag}: {raceway.kind} of nonferrous metal")
    circuits = [given.system.circuits[tag] for tag in given.system.circuits_in_run[raceway.tag]]
    around = [circuit for circuit in circuits if not circuit.is_dc]
    if not around:
        return does_not_apply(f"{raceway.tag} holds no alternating-current circuit")
    return all_of(f"{raceway.tag} holds all conductors of {', '.join(c.tag for c in around)}", [_whole(raceway, each) for each in around])


def _whole(raceway: Raceway, circuit: Circuit) -> Judgement:
    """A set that has a way of its own lies whole in each of its runs, as the circuit is described; else the file has to say it."""
    stated = raceway.answer("whole_sets")
    if stated is None and circuit.sets_in_way == 1:
        stated = True
    what = "all conductors" if circuit.conductors.sets == 1 else f"whole sets of the {circuit.conductors.sets} parallel ones"
    message = f"{raceway.tag}: {raceway.kind} {'holds' if stated else 'does not hold'} {what} of {circuit.tag}"
    return require(stated, message, missing=f"whether {raceway.tag} holds whole sets of {circuit.tag}")
