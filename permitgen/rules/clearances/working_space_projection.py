"""What hangs above or below equipment stands out no more than 6 in beyond its front."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require_at_most
from permitgen.rules.parts import parts_for
from permitgen.rules.quantities.stacked_equipment import stacked_with
from permitgen.rules.rule import rule
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.equipment import Equipment


@rule(
    "working-space-projection",
    title="What hangs above or below equipment stands out no more than 6 in beyond its front",
    provision="working_space_projection",
    judges="equipment",
)
def judge(item: Equipment, given: Given) -> Judgement:
    """Judge how far other equipment on the same wall, above or below, stands out into the working space.

    Requires: depth of the other equipment ≤ the item's own depth + 6 in, both from the wall.
    Why: somebody who steps back or stoops in front of a panel must not strike a box that juts out.
    Applies to: panelboards, dc combiners, interconnect devices, disconnects, transfer switches and storage units above or below which the
        plan draws other equipment on the wall. A meter in its socket may stand out.
    Example that fails: an inverter 10 in deep above a panel 3 in deep.
    Example that passes: an inverter 9 in deep above the same panel.
    """
    if not (item.holds_devices or item.needs_working_space):
        return does_not_apply(f"{item.tag}: no working space is asked for")
    others = stacked_with(given.system, item)
    if not others:
        return does_not_apply(f"{item.tag}: the plan draws nothing above or below it")
    return all_of(f"{item.tag}: nothing above or below stands out", parts_for(others, lambda other: _beyond(item, other, given)))


def _beyond(item: Equipment, other: Equipment, given: Given) -> Judgement:
    own, depth = (given.need(each.fact("depth"), f"depth of {each.tag}") for each in (item, other))
    limit = given.provision("working_space_projection").value("projection_in")
    beyond = max(0.0, depth.number - own.number)
    title = f"how far {other.tag} stands out beyond {item.tag}"
    origin = FromSystem(f"{other.tag} {depth.length} deep, {item.tag} {own.length} deep")
    message = f"{item.tag}: {other.tag} above or below it is {depth.length} deep, {item.tag} {own.length}"
    return require_at_most(message, computed=Value(beyond, "in", origin, "d", title), limit=limit, values=(own, depth))
