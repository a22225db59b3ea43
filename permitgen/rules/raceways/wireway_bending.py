"""Where conductors turn in a wireway they have the room of the bending table."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, either_way, require_at_least
from permitgen.rules.rule import rule
from permitgen.values.conductor_size import ConductorSize

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.raceway import Raceway
    from permitgen.values.value import Value


@rule(
    "wireway-bending",
    title="Where conductors turn in a wireway they have the room of the bending table",
    provision="metal_wireway_bending",
    judges="raceway",
)
def judge(raceway: Raceway, given: Given) -> Judgement:
    """Judge the width and depth of a wireway by its largest conductor.

    Requires: the dimension in which the largest conductor turns ≥ the table for one wire a terminal.
    Why: a stiff conductor forced round a short corner presses on an edge until its insulation gives way.
    Applies to: wireways in which conductors turn, from 8 AWG; where the larger dimension alone would do, the answer hangs on the turn.
    Example that fails: 2/0 AWG turned in a wireway of 2-1/2 in by 2-1/2 in.
    Example that passes: 2/0 AWG turned in one of 4 in by 4 in.
    """
    if not raceway.is_wireway:
        return does_not_apply(f"{raceway.tag}: {raceway.kind} is no wireway")
    circuits = [given.system.circuits[tag] for tag in given.system.circuits_in_run[raceway.tag]]
    sizes = [given.need(each.conductors.size, f"conductor size of {each.tag}") for each in circuits]
    if not sizes or max(sizes) < ConductorSize("8"):
        return does_not_apply(f"{raceway.tag}: no conductor in it for which the table asks room")
    if not given.need(raceway.answer("conductors_turn"), f"whether conductors turn in {raceway.tag}"):
        return does_not_apply(f"{raceway.tag}: its conductors run straight through")
    largest = max(sizes)
    needed = given.table("wire_bending_other_walls").at(largest.name, "one_wire").named("s_min", f"bending space for {largest}")
    provision = given.provision("metal_wireway_bending" if raceway.is_metal else "nonmetallic_wireway_bending")
    readings = [_reading(raceway, side, largest, needed, given) for side in ("width", "depth")]
    return either_way(readings, f"whether conductors turn along the width or the depth of {raceway.tag}").under(provision)


def _reading(raceway: Raceway, side: str, largest: ConductorSize, needed: Value, given: Given) -> Judgement:
    room = given.need(raceway.fact(f"interior_{side}"), f"interior {side} of {raceway.tag}")
    message = f"{raceway.tag}: {largest} turns in {room.length} of {side}, {needed.length} asked"
    return require_at_least(message, computed=room, limit=needed)
