"""A new panelboard in an old enclosure is listed for it, or evaluated there; where little fault current comes, identified for it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.fault_current import fault_current_ka
from permitgen.rules.judgement import Judgement, any_of, does_not_apply, require, require_at_most
from permitgen.rules.quantities.fault_current import largest_at
from permitgen.rules.quantities.fault_current_unstated import hanging_on_unstated
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.panelboard import Panelboard

SUFFICES = ("listed for the enclosure", "field evaluated")
IDENTIFIED = "identified for the enclosure"


@rule(
    "panel-replacement",
    title="A new panelboard in an old enclosure is listed for it, or evaluated there; where little fault current comes, identified for it",
    provision="panel_replacement",
    judges="panelboard",
)
def judge(panel: Panelboard, given: Given) -> Judgement:
    """Judge what speaks for a replaced panelboard in the enclosure that stays.

    Requires: listing for the enclosure or evaluation in the field; with at most 10 kA of fault current identification suffices.
    Why: an interior that was never tested in the enclosure may not survive a fault in it.
    Applies to: panelboards that are replaced while their enclosure stays.
    Example that fails: interior identified for the enclosure, 12 kA of fault current.
    Example that passes: the same with 9 kA.
    """
    if panel.status != "replaced":
        return does_not_apply(f"{panel.tag}: not a replacement")
    if not given.need(panel.answer("existing_enclosure"), f"whether the enclosure of {panel.tag} stays"):
        return does_not_apply(f"{panel.tag}: replaced with its enclosure")
    evidence = given.need(
        panel.word("replacement_evidence") or None, f"what speaks for the new interior of {panel.tag} in its old enclosure"
    )
    shown = require(evidence in SUFFICES, f"{panel.tag}: new interior in the old enclosure, {evidence}", method="listed or evaluated")
    if evidence != IDENTIFIED:
        return shown
    return any_of(f"{panel.tag}: new interior identified for the old enclosure", [shown, _little_current(given, panel)])


def _little_current(given: Given, panel: Panelboard) -> Judgement:
    nodes = tuple(node for node in given.system.graph.at_node if node.split(".", maxsplit=1)[0] == panel.tag)
    available = given.need(largest_at(given, nodes), f"available fault current at {panel.tag}")
    limit = fault_current_ka.derive(fault_current_a=given.provision("panel_replacement").value("identified_to_a"))
    message = f"{available.number:.3g} kA available, {limit.figure} kA with identification alone"
    found = require_at_most(message, computed=available, limit=limit, method="identified, small fault current")
    return hanging_on_unstated(found, given, nodes)
