"""Services of dwelling units have surge protection, at the service equipment or at each panel it feeds.

The duty comes with new or replaced service equipment; an interconnect device that becomes the service equipment brings it along.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, any_of, does_not_apply
from permitgen.rules.parts import parts_for
from permitgen.rules.quantities.service_disconnects import enclosures_of
from permitgen.rules.rule import rule
from permitgen.rules.service.surge_protection import judge_device
from permitgen.system.walks.sources_only import is_distribution

if TYPE_CHECKING:
    from permitgen.code.provision import Provision
    from permitgen.rules.given import Given
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.equipment.utility_service import UtilityService


@rule(
    "service-surge-protection",
    title="Services of dwelling units have surge protection, at the service equipment or at each panel it feeds",
    provision="service_surge_protection",
    judges="utility_service",
)
def judge(service: UtilityService, given: Given) -> Judgement:
    """Judge the surge protection of the service equipment, else of the panels next to it.

    Requires: a type 1 or type 2 device in or beside the service equipment, or one at each panel that it feeds; from 2023 of 10 kA.
    Why: electronics, among them the detectors and breakers that protect people, die of surges.
    Applies to: dwelling units whose service equipment is new or replaced.
    Example that fails: new service equipment without a surge-protective device.
    Example that passes: type 2 device of 10 kA in the service equipment.
    """
    enclosures = [given.system.equipment[tag] for tag in enclosures_of(given, service.tag)]
    if not enclosures:
        return does_not_apply(f"{service.tag}: no service disconnect")
    if all(item.status == "existing" for item in enclosures):
        return does_not_apply(f"{service.tag}: the service equipment is existing and stays")
    provision = given.provision("service_surge_protection")
    methods = [_at(enclosures, "at the service equipment", given, provision)]
    panels = _next_panels(given, enclosures)
    if panels and all(item.word("surge_protection") for item in panels):
        methods.append(_at(panels, "at each panel that the service equipment feeds", given, provision))
    return any_of(f"{service.tag}: surge protection", methods)


def _at(places: list[Equipment], method: str, given: Given, provision: Provision) -> Judgement:
    return replace(all_of(method, parts_for(places, lambda item: judge_device(item, given, provision))), method=method)


def _next_panels(given: Given, enclosures: list[Equipment]) -> list[Equipment]:
    """Return the panelboards that a circuit joins to the service equipment directly."""
    tags = {item.tag for item in enclosures}
    circuits = [c for c in given.system.circuits.values() if {c.start.tag, c.finish.tag} & tags]
    others = {tag for c in circuits for tag in (c.start.tag, c.finish.tag)} - tags
    return [item for tag, item in given.system.equipment.items() if tag in others and is_distribution(given.system, item)]
