"""Conductors have room to bend before their terminals."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, any_of, does_not_apply, not_judged, require, require_at_least
from permitgen.rules.rule import rule
from permitgen.values.conductor_size import ConductorSize

if TYPE_CHECKING:
    from permitgen.code.table import Table
    from permitgen.rules.given import Given
    from permitgen.rules.subjects import Termination
    from permitgen.system.terminal import Terminal
    from permitgen.values.value import Value

_WIRES = ("one_wire", "two_wires", "three_wires", "four_wires", "five_wires")


@rule(
    "wire-bending-space", title="Conductors have room to bend before their terminals", provision="wire_bending_space", judges="termination"
)
def judge(termination: Termination, given: Given) -> Judgement:
    """Judge the space before one terminal by the tables, or by the listing where the conductor is within the marked range.

    Requires: distance from terminal to wall ≥ table value, larger where the conductor leaves through the wall it faces.
    Why: a stiff conductor bent short pulls on its terminal and cuts its insulation at the edge.
    Applies to: terminals in cabinets, switches and interconnect devices, 8 AWG and larger.
    Example that fails: 3/0 AWG through the wall opposite its lug with 6 in, 6-1/2 in asked, on a lug marked to 2/0.
    Example that passes: 3/0 AWG turning aside with 4 in.
    """
    item = given.system.equipment[termination.end.tag]
    if not item.is_assembly:
        return does_not_apply(f"{termination.tag} is in no cabinet")
    terminal = termination.terminal
    if terminal is None:
        return not_judged(f"terminal at {termination.end}")
    size = given.need(termination.circuit.conductors.size, f"conductor size of {termination.circuit.tag}")
    if size < ConductorSize("8"):
        return does_not_apply(f"{termination.tag}: no space is specified for {size}")
    return any_of(f"{termination.tag}: {size}", [_by_table(termination, given, terminal, size), _by_listing(terminal, size, given)])


def _by_listing(terminal: Terminal, size: ConductorSize, given: Given) -> Judgement:
    """Listed equipment has the space for every conductor its terminal is marked for."""
    if terminal.largest is None or size > terminal.largest:
        return does_not_apply("not within a marked range").under(given.provision("listed_and_instructed"))
    return require(fact=True, message=f"within the marked range to {terminal.largest}", method="marked range").under(
        given.provision("listed_and_instructed")
    )


def _by_table(termination: Termination, given: Given, terminal: Terminal, size: ConductorSize) -> Judgement:
    walls = _walls_entered(termination, given)
    space = given.system.equipment[termination.end.tag].fact(f"bending_space_{terminal.faces}") if terminal.faces else None
    missing = [
        *([f"wall that the terminal at {termination.end} faces"] if not terminal.faces else []),
        *([f"wall through which {termination.circuit.tag} enters {termination.end.tag}"] if "" in walls else []),
        *([f"bending space before the terminal at {termination.end}"] if space is None else []),
    ]
    if missing or space is None:
        return not_judged(*missing)
    # Of sets that enter through several walls, one through the wall opposite the terminal needs the larger space.
    opposite = terminal.faces in walls
    name = "wire_bending_opposite_wall" if opposite else "wire_bending_other_walls"
    provision = given.provision("wire_bending_space_opposite_wall" if opposite else "wire_bending_space_other_walls")
    needed = _needed(given, given.table(name), termination, size, opposite=opposite)
    return require_at_least(
        f"{space.length} to the {terminal.faces} wall, {needed.length} asked, entering at the {' and '.join(walls)}",
        computed=space,
        limit=needed,
        method="table",
    ).under(provision)


def _needed(given: Given, table: Table, termination: Termination, size: ConductorSize, *, opposite: bool) -> Value:
    conductors = termination.circuit.conductors
    row = size.name
    if conductors.material == "aluminum" and conductors.is_compact:
        column = "opposite_wall" if opposite else "other_walls"
        row = given.table("compact_aluminum_bending_row").text_at(size, column).text
    return table.at(row, _WIRES[min(conductors.sets, len(_WIRES)) - 1]).named("s_min", f"bending space for {size}")


def _walls_entered(termination: Termination, given: Given) -> tuple[str, ...]:
    """Return the walls through which the runs nearest to this end enter the enclosure, empty text for one that is not stated."""
    runs = [given.system.raceways[tag] for tag in termination.circuit.runs_at(termination.end)]
    entries = [run.entries.get(termination.end.tag) for run in runs]
    return tuple(dict.fromkeys(entry.wall if entry is not None else "" for entry in entries)) or ("",)
