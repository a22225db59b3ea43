"""Not too many service disconnects, and from 2020 not several in one enclosure.

Until 2017 up to six may share an enclosure. From 2020 there is one, or two to six that each have an enclosure or compartment of
their own; equipment that stood before with several mains may keep them. Disconnects of sources on the supply side are counted
apart.
"""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Verdict, all_of, does_not_apply, not_judged, require, require_at_most
from permitgen.rules.parts import parts_for
from permitgen.rules.quantities.busbar_feeds import has_breakers_outside_file
from permitgen.rules.quantities.service_disconnects import disconnects_of, enclosures_of, has_separate_compartments
from permitgen.rules.rule import rule
from permitgen.system.equipment.panelboard import Panelboard
from permitgen.system.panel_rows import loads_without_device
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.utility_service import UtilityService


@rule(
    "service-disconnect-count",
    title="Not too many service disconnects, and from 2020 not several in one enclosure",
    provision="service_disconnect_count",
    judges="utility_service",
)
def judge(service: UtilityService, given: Given) -> Judgement:
    """Judge the number of service disconnects in all and in each enclosure.

    Requires: six or fewer in all; from 2020 one in each enclosure or compartment.
    Why: several mains on one busbar leave it live while somebody works on it with "the main" off.
    Applies to: services.
    Example that fails: panelboard without a main, six breakers as service disconnects, NEC 2020.
    Example that passes: two main breakers in separate enclosures beside each other.
    """
    disconnects = disconnects_of(given, service.tag)
    if not disconnects:
        return does_not_apply(f"{service.tag}: no service disconnect")
    provision = given.provision("service_disconnect_count")
    parts = [
        require_at_most(
            f"{service.tag}: {len(disconnects)} service disconnect{'s' if len(disconnects) > 1 else ''}",
            computed=_count(len(disconnects), "service disconnects"),
            limit=provision.value("largest_count"),
        )
    ]
    parts += [not_judged(_unshown(given, tag)) for tag in _not_all_shown(given, service)]
    if provision.flag("separate_enclosures"):
        in_each = Counter(d.enclosure for d in disconnects)
        parts += parts_for(in_each, lambda tag: _enclosure(tag, in_each[tag], given))
    return all_of(
        f"{service.tag}: {len(disconnects)} service disconnect{'s, each in an enclosure of its own' if len(disconnects) > 1 else ''}", parts
    )


def _not_all_shown(given: Given, service: UtilityService) -> list[str]:
    """Tags of enclosures whose breakers disconnect the service, of which the file does not say that it shows them all."""
    items = (given.system.equipment[tag] for tag in enclosures_of(given, service.tag))
    switched_by_breakers = [item.tag for item in items if isinstance(item, Panelboard) and item.main is None]
    return [tag for tag in switched_by_breakers if has_breakers_outside_file(given, given.system.busbars[tag]) is not False]


def _unshown(given: Given, tag: str) -> str:
    """Return what is missing of the breakers of an enclosure: those of the loads listed there, or that the file shows all."""
    loads = [load.tag for load in loads_without_device(given.system, tag)]
    if loads:
        return f"breakers of {tag} that feed {', '.join(loads)}; it has no main and is switched off by its breakers"
    return f"all breakers of {tag}, which has no main and is switched off by them"


def _enclosure(tag: str, number: int, given: Given) -> Judgement:
    kept = given.system.equipment[tag].status == "existing"
    if number > 1 and not kept and has_separate_compartments(given, tag):
        return require(fact=True, message=f"{tag}: {number} service disconnects, each in a compartment of its own")
    return require_at_most(
        f"{tag}: {number} service disconnects in one enclosure{'; existing equipment may keep them' if kept and number > 1 else ''}",
        computed=_count(number, f"service disconnects in {tag}"),
        limit=_count(1, "service disconnects in one enclosure"),
        otherwise=Verdict.CAUTION if kept else Verdict.VIOLATED,
    )


def _count(number: int, title: str) -> Value:
    return Value(float(number), "count", FromSystem("counted on the graph"), "n", title)
