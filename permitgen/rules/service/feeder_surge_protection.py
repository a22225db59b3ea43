"""A panel that a feeder supplies and that holds the branch circuits of a dwelling has surge protection (from 2023).

Read by the word it reaches a backup panel and a main panel that has become a feeder panel behind an interconnect device; officials
differ on panels inside one dwelling, so that this program advises where the device is missing.
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


@rule(
    "feeder-surge-protection",
    title="A panel that a feeder supplies and that holds the branch circuits of a dwelling has surge protection (from 2023)",
    provision="feeder_surge_protection",
    judges="panelboard",
)
def judge(panel: Panelboard, given: Given) -> Judgement:
    """Judge the surge protection of a panelboard that a feeder supplies.

    Requires: a type 1 or type 2 device of 10 kA in or beside the panel (advice for panels within one dwelling).
    Why: long feeders let surges arise behind the protection of the service.
    Applies to: new or replaced panelboards with branch circuits, supplied by a feeder.
    Example that fails: new backup panel without a surge-protective device.
    Example that passes: type 2 device of 10 kA in the backup panel.
    """
    if panel.tag in service_side(given).enclosures:
        return does_not_apply(f"{panel.tag}: service equipment")
    if has_sources_only(given.system, panel):
        return does_not_apply(f"{panel.tag}: a combiner panel holds no branch circuits")
    circuits = [given.system.circuits[tag] for tag in given.system.circuits_at.get(panel.tag, ())]
    if not any(role(given, circuit) is CircuitRole.FEEDER for circuit in circuits):
        return does_not_apply(f"{panel.tag}: no feeder supplies it")
    if is_in_second_building(given, panel) and panel.place is not None and is_dwelling_at(given, panel.place.building) is False:
        return does_not_apply(f"{panel.tag}: {panel.place.building} is no dwelling")
    if panel.status == "existing":
        return does_not_apply(f"{panel.tag}: existing and stays")
    return judge_device(panel, given, given.provision("feeder_surge_protection"), otherwise=Verdict.CAUTION)
