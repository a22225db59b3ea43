"""A moved appliance can be taken off its circuit in sight of whoever works on it, or locked off."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from collections.abc import Iterator

    from permitgen.rules.given import Given
    from permitgen.system.equipment.panelboard import Panelboard

_HVAC = ("air conditioning", "heat pump")
_PLUGGED = ("general",)


@dataclass(frozen=True, slots=True)
class _Appliance:
    """An appliance on a moved circuit, listed as equipment or as a load."""

    tag: str
    category: str
    by: str


@rule(
    "appliance-disconnect",
    title="A moved appliance can be taken off its circuit in sight of whoever works on it, or locked off",
    provision="appliance_disconnect",
    judges="panelboard",
)
def judge(panel: Panelboard, given: Given) -> Judgement:
    """Judge what disconnects each appliance whose circuit was moved to a panel.

    Requires: a switch or breaker in sight, a unit switch, a plug, or a breaker that can be locked; heat pumps and air conditioners
        have a switch or breaker in sight.
    Why: the breaker that stood beside the furnace stands in another room now, and somebody turns it on.
    Applies to: appliances with circuits that were moved; general lighting and receptacles are no appliance.
    Example that fails: a heat pump whose breaker moved to another panel, no switch at the unit.
    Example that passes: the same with a switch at the unit.
    """
    moved = [each for each in (*_loads(given, panel), *_circuits(given, panel)) if each.category not in _PLUGGED]
    if not moved:
        return does_not_apply(f"{panel.tag}: no circuit of an appliance is said to have been moved to it")
    return all_of(f"{panel.tag}: appliances on moved circuits have their disconnects", [_one(each, given) for each in moved])


def _loads(given: Given, panel: Panelboard) -> Iterator[_Appliance]:
    for load in given.system.loads.values():
        if load.panel == panel.tag and load.is_moved:
            yield _Appliance(load.tag, load.stated_category, load.disconnected_by)


def _circuits(given: Given, panel: Panelboard) -> Iterator[_Appliance]:
    for circuit in (given.system.circuits[tag] for tag in given.system.circuits_at.get(panel.tag, ())):
        for end in circuit.ends if circuit.answer("moved") else ():
            item = given.system.equipment[end.tag]
            if item.kind == "appliance":
                yield _Appliance(item.tag, getattr(item, "stated_category", ""), item.word("disconnected_by"))


def _one(item: _Appliance, given: Given) -> Judgement:
    provision = given.provision("hvac_disconnect" if item.category in _HVAC else "appliance_disconnect")
    found = item.by in provision.words("disconnects")
    message = f"{item.tag} is disconnected by: {item.by}"
    missing = f"what disconnects {item.tag}: a switch in sight, a unit switch, a lockable breaker, a plug"
    return require(found if item.by else None, message, missing=missing).under(provision)
