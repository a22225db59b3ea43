"""Branch circuits that are moved to another panel get arc-fault protection where wiring is added to them.

Six feet of added wiring or less, measured outside of enclosures and without new outlets, asks for none. Ground-fault protection does not
follow from the move.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, any_of, does_not_apply, not_judged, require, require_at_most
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.panelboard import Panelboard
    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True)
class _Moved:
    """A 120 V branch circuit of a panel, listed as a circuit or as a load; ``moved`` None where the project does not say."""

    tag: str
    moved: bool | None
    added_ft: Value | None
    new_outlets: bool | None
    protected: bool | None


@rule(
    "moved-circuits",
    title="Branch circuits that are moved to another panel get arc-fault protection where wiring is added to them",
    provision="arc_fault_protection_of_moved_circuits",
    judges="panelboard",
)
def judge(panel: Panelboard, given: Given) -> Judgement:
    """Judge the 120 V branch circuits that were moved to a panel.

    Requires: at most 6 ft of added wiring and no new outlet, or arc-fault protection.
    Why: old cable that is spliced and lengthened arcs where the work was done.
    Applies to: branch circuits that the project says were moved; asked for at new panels of existing dwellings.
    Example that fails: bedroom circuit lengthened by 12 ft to the backup panel, on a plain breaker.
    Example that passes: the same lengthened by 5 ft between two cabinets beside each other.
    """
    circuits = [*_loads(given, panel), *_circuits(given, panel)]
    asked = given.system.site.answer("existing_dwelling") and panel.status == "new"
    silent = [each.tag for each in circuits if each.moved is None] if asked else []
    parts = [_one(given, panel, each) for each in circuits if each.moved]
    if silent:
        parts.append(not_judged(f"whether {', '.join(silent)} {'were' if len(silent) > 1 else 'was'} moved to {panel.tag}"))
    if not parts:
        return does_not_apply(f"{panel.tag}: no branch circuit is said to have been moved to it")
    return all_of(f"{panel.tag}: circuits moved to it", parts)


def _loads(given: Given, panel: Panelboard) -> list[_Moved]:
    return [
        _Moved(load.tag, load.is_moved, load.added_length_ft, load.has_new_outlets, load.has_arc_fault_protection)
        for load in given.system.loads.values()
        if load.panel == panel.tag and load.leg != "both" and not load.is_new
    ]


def _circuits(given: Given, panel: Panelboard) -> list[_Moved]:
    """Circuits of the project are new unless it says that they were moved."""
    circuits = (given.system.circuits[tag] for tag in given.system.circuits_at.get(panel.tag, ()))
    return [
        _Moved(c.tag, c.answer("moved"), c.fact("added_length"), c.answer("new_outlets"), c.answer("arc_fault_protection"))
        for c in circuits
        if c.conductors.ungrounded_count == 1 and c.answer("moved")
    ]


def _one(given: Given, panel: Panelboard, circuit: _Moved) -> Judgement:
    short = _short(given, circuit)
    words = "on arc-fault protection" if circuit.protected else "without arc-fault protection"
    protected = require(
        circuit.protected, f"{circuit.tag} {words}", missing=f"arc-fault protection of {circuit.tag}", method="arc-fault protection"
    )
    return any_of(f"{panel.tag}", [short, protected])


def _short(given: Given, circuit: _Moved) -> Judgement:
    limit = given.provision("arc_fault_protection_of_moved_circuits").value("longest_extension_ft")
    if circuit.added_ft is None:
        return require(None, "", missing=f"wiring added to {circuit.tag} outside of enclosures")
    message = f"{circuit.tag}: {circuit.added_ft.length} added outside of enclosures"
    outlets = circuit.new_outlets
    parts = [
        require_at_most(message, computed=circuit.added_ft, limit=limit, method="short extension"),
        require(
            None if outlets is None else not outlets,
            f"{circuit.tag}: {'new outlets' if outlets else 'no new outlet'}",
            missing=f"whether {circuit.tag} has new outlets",
        ),
    ]
    return all_of(message, parts)
