"""A panel that a feeder supplies and that holds the branch circuits of a dwelling has surge protection (from 2023).

By the word it reaches a backup panel and a main panel that has become a feeder panel behind an interconnect device: the text makes no
exception for feeders inside one dwelling. Where an authority reads it of separate dwelling units only, a jurisdiction option says so.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Verdict, does_not_apply
from permitgen.rules.quantities.building_use import is_dwelling_at
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.quantities.service_disconnects import service_side
from permitgen.rules.quantities.siting_buildings import is_in_second_building
from permitgen.rules.rule import rule
from permitgen.rules.service.surge_protection import judge_device
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.system.walks.sources_only import has_sources_only

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.panelboard import Panelboard

OPTION = "feeder_surge_within_dwelling"


@rule(
    "feeder-surge-protection",
    title="A panel that a feeder supplies and that holds the branch circuits of a dwelling has surge protection (from 2023)",
    provision="feeder_surge_protection",
    judges="panelboard",
)
def judge(panel: Panelboard, given: Given) -> Judgement:
    """Judge the surge protection of a panelboard that a feeder supplies.

    Requires: a type 1 or type 2 device of 10 kA in or beside the panel (advice within one dwelling where the authority reads it so).
    Why: long feeders let surges arise behind the protection of the service.
    Applies to: new or replaced panelboards with branch circuits, supplied by a feeder.
    Example that fails: new backup panel without a surge-protective device.
    Example that passes: type 2 device of 10 kA in the backup panel.
    """
    reason = _why_not(panel, given)
    if reason:
        return does_not_apply(f"{panel.tag}: {reason}")
    provision = given.provision("feeder_surge_protection")
    judged = judge_device(panel, given, provision)
    if judged.verdict is not Verdict.VIOLATED or given.option(OPTION, "required") == "required":
        return judged
    return judge_device(panel, given, provision, otherwise=Verdict.CAUTION)


def _why_not(panel: Panelboard, given: Given) -> str:
    """Return why nothing is asked of a panel; empty where it is."""
    if panel.tag in service_side(given).enclosures:
        return "service equipment"
    if has_sources_only(given.system, panel):
        return "a combiner panel holds no branch circuits"
    circuits = [given.system.circuits[tag] for tag in given.system.circuits_at.get(panel.tag, ())]
    if not any(role(given, circuit) is CircuitRole.FEEDER for circuit in circuits):
        return "no feeder supplies it"
    if is_in_second_building(given, panel) and panel.place is not None and is_dwelling_at(given, panel.place.building) is False:
        return f"{panel.place.building} is no dwelling"
    return "existing and stays" if panel.status == "existing" else ""
