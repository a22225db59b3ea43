"""Jumpers between electrodes are as large as the electrode conductor would have to be there."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.given import MissingFactError
from permitgen.rules.judgement import Judgement, all_of, does_not_apply, not_judged, require, require_at_least
from permitgen.rules.parts import parts_for
from permitgen.rules.quantities.conductor_area import area_of_size
from permitgen.rules.quantities.grounding_electrodes import KINDS, cap_of, kinds_of
from permitgen.rules.quantities.grounding_service_area import electrode_conductor_for
from permitgen.rules.quantities.grounding_supply import supply_area
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.grounding_electrode_system import GroundingElectrodeSystem


@rule(
    "electrode-jumpers",
    title="Jumpers between electrodes are as large as the electrode conductor would have to be there",
    provision="electrode_bonding_jumper",
    judges="grounding_electrode_system",
)
def judge(item: GroundingElectrodeSystem, given: Given) -> Judgement:
    """Judge the size of each jumper that bonds a further electrode.

    Requires: the electrode conductor table's size for the supply conductors, no more than 6 AWG copper to rods alone, 4 AWG to a
        concrete-encased electrode.
    Why: a chain of electrodes carries no more than its thinnest piece.
    Applies to: new grounding with more than one electrode; conductors of their own to each service disconnect need no jumper.
    Example that fails: 8 AWG copper between two rods of a 200 A service.
    Example that passes: 6 AWG copper between them.
    """
    if item.status == "existing" or item.is_individual:
        return does_not_apply(f"{item.tag}: existing grounding that stays, or a conductor of its own to each electrode")
    number = len(kinds_of(item)) + bool(item.second_rod)
    if number < 2:
        return does_not_apply(f"{item.tag}: one electrode alone")
    if "electrode_jumpers" in item.absent:
        return require(fact=False, message=f"{item.tag}: no jumper joins its {number} electrodes")
    parts = parts_for(item.electrode_jumpers, lambda name: _one(item, name, given))
    if len(item.electrode_jumpers) < number - 1:
        parts.append(not_judged(f"sizes of the {number - 1} jumpers between the electrodes of {item.tag}"))
    return all_of(f"{item.tag}: jumpers between its electrodes", parts)


def _one(item: GroundingElectrodeSystem, name: str, given: Given) -> Judgement:
    kind = KINDS.get(name.casefold())
    if kind is None:
        raise MissingFactError(f'kind of the electrode "{name}" of {item.tag} (known: {", ".join(sorted(KINDS))})')
    size = item.electrode_jumpers[name]
    table = electrode_conductor_for(given, supply_area(given, item), item.conductor_material)
    cap = cap_of(given, kind, item.conductor_material)
    required = cap if cap is not None and cap < table else table
    return require_at_least(
        f"{item.tag}: {size} {item.conductor_material} bonds the {name}; {required} is required",
        computed=area_of_size(given, size, "A", f"area of the jumper to the {name}, {size}"),
        limit=area_of_size(given, required, "A_min", f"jumper to the {name}, {required}"),
    )
