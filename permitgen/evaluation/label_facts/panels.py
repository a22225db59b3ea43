"""Facts about panels and busbars: what feeds them, which rule permits it, where the neutral is bonded, what is managed."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.evaluation.label_facts.services import main_disconnects
from permitgen.evaluation.label_facts.subject import Fact, Found, LabelSubject, each_once, on_equipment
from permitgen.evaluation.run_rule import run_rule
from permitgen.rules.given import Given
from permitgen.rules.judgement import Verdict
from permitgen.rules.quantities.busbar_feeds import feeds_of
from permitgen.rules.quantities.load_backup import may_run_beside_others
from permitgen.rules.quantities.service_disconnects import service_side
from permitgen.rules.rule import all_rules
from permitgen.system.equipment.generator import Generator
from permitgen.system.equipment.held_output import HeldOutput
from permitgen.system.equipment.panelboard import Panelboard
from permitgen.system.graph import closed_in
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.meeting_sources import enclosures_of_several_sources
from permitgen.system.walks.portable_generators import portable_generators
from permitgen.system.walks.sources_only import is_distribution

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.power_source import PowerSource
    from permitgen.system.system import System

_MANAGED = ("island", "always")


def is_panelboard(evaluation: Evaluation) -> Found:
    """Panelboards whose circuits are new or changed."""
    return tuple(on_equipment(item) for item in evaluation.system.equipment.values() if isinstance(item, Panelboard))


def is_feeder_supplied_panelboard(evaluation: Evaluation) -> Found:
    """Panelboards that are not service equipment."""
    services = {subject.equipment for subject in main_disconnects(evaluation)}
    return tuple(subject for subject in is_panelboard(evaluation) or () if subject.tag not in services)


def panel_live_when_utility_is_lost(evaluation: Evaluation) -> Found:
    """Panelboards with loads that a source reaches while the utility is away."""
    return _fed_without_utility(evaluation.system, [source for source in evaluation.system.sources.values() if source.forms_island])


def panel_live_from_cord_alone(evaluation: Evaluation) -> Found:
    """Those that nothing but a portable generator reaches then: dead until somebody plugs it in and closes its breaker."""
    system = evaluation.system
    forming = [source for source in system.sources.values() if source.forms_island]
    by_themselves = _fed_without_utility(system, [source for source in forming if source.tag not in portable_generators(system)])
    return tuple(subject for subject in _fed_without_utility(system, forming) if subject not in by_themselves)


def _fed_without_utility(system: System, sources: Sequence[PowerSource]) -> tuple[LabelSubject, ...]:
    starts, live = [source.node for source in sources], set[str]()
    for mode in system.modes:
        if mode is not OperatingMode.WITH_UTILITY:
            live |= set(system.graph.reach(starts, closed_in(mode)))
    items = (system.equipment[bus.tag] for bus in system.busbars.values() if bus.node in live)
    return tuple(on_equipment(item) for item in items if is_distribution(system, item))


def overcurrent_devices_supplied_from_multiple_sources(evaluation: Evaluation) -> Found:
    """Enclosures with overcurrent devices in circuits that supply, or are supplied by, what several sources reach together.

    An edition that asks for the mark at connections on the load side of the service disconnect does not count sources ahead of it.
    A portable generator is interconnected with others only where it is listed to run beside them.
    """
    system = evaluation.system
    marking = evaluation.given.code.provision("multiple_source_marking")
    ahead: set[str] = set()
    if marking.is_in_force and marking.flag("load_side_only"):
        ahead = {source.id for found in service_side(evaluation.given).of_sources for source in found.sources}
    beside = portable_generators(system)
    if may_run_beside_others(evaluation.given, [item for item in system.equipment.values() if isinstance(item, Generator)]):
        beside = frozenset()
    counted = [source for source in system.sources.values() if source.id not in ahead and source.tag not in beside]
    return tuple(on_equipment(system.equipment[tag]) for tag in enclosures_of_several_sources(system, counted) if tag not in beside)


def _busbars_passing(evaluation: Evaluation, method: str = "") -> list[str]:
    found = [f for f in evaluation.findings_of("busbar-sources") if f.verdict in (Verdict.PASSES, Verdict.CAUTION)]
    return [f.subject for f in found if not method or f.judgement.method == method]


def busbar_uses_opposite_end_rule(evaluation: Evaluation) -> Found:
    """Source devices on busbars whose connection relies on the 120 percent rule."""
    system = evaluation.system
    found = []
    for tag in _busbars_passing(evaluation, "opposite end, 120 percent"):
        bus = system.busbars[tag]
        sources = {source.node for source in feeds_of(evaluation.given, bus).sources}
        for link in system.graph.at_node.get(bus.node, ()):
            if link.device is None or not link.handle or link is feeds_of(evaluation.given, bus).supply:
                continue
            behind = system.graph.reach([link.other(bus.node)], lambda other, me=link: other is not me)  # type: ignore[misc]
            if sources & set(behind):
                found.append(LabelSubject(link.handle, f"{system.equipment[tag].name}, breaker {link.part}", system.equipment[tag].place))
    return each_once(found)


def busbar_uses_sum_of_breakers_rule(evaluation: Evaluation) -> Found:
    """Busbars whose connection relies on the sum of all overcurrent devices."""
    return tuple(on_equipment(evaluation.system.equipment[tag]) for tag in _busbars_passing(evaluation, "sum of breakers"))


def pcs_limits_busbar_current(evaluation: Evaluation) -> Found:
    """Busbars that would not be permitted if a listed power control system did not hold their sources down."""
    system = evaluation.system
    limited = [item for item in system.equipment.values() if isinstance(item, HeldOutput) and item.limit_a is not None]
    if not limited and not system.power_controls:
        return ()
    free = replace(system, power_controls={}, equipment={**system.equipment, **{item.tag: replace(item, limit_a=None) for item in limited}})
    given = Given(free, evaluation.given.code)
    rule = next(rule for rule in all_rules() if rule.id == "busbar-sources")
    relying = [tag for tag in _busbars_passing(evaluation) if not run_rule(rule, free.busbars[tag], given).holds]
    return tuple(on_equipment(system.equipment[tag]) for tag in relying)


def ems_sets_maximum_current(evaluation: Evaluation) -> Found:
    """Equipment under the setting of an energy management system, and busbars that rely on a power control system."""
    items = evaluation.system.equipment.values()
    managed = [on_equipment(item) for item in items if item.fact("load_management_setting") is not None]
    return each_once([*managed, *(pcs_limits_busbar_current(evaluation) or ())])


def ems_controls_loads_remotely(evaluation: Evaluation) -> Found:
    """The interconnect device, where it sheds loads or vehicle supply equipment."""
    system = evaluation.system
    shed = [load.shed for load in system.loads.values()] + [item.word("shed") for item in system.equipment.values()]
    if not any(when in _MANAGED for when in shed):
        return ()
    return tuple(on_equipment(item) for item in system.equipment.values() if item.kind == "microgrid_interconnect_device")


def project_has_moving_or_forbidden_neutral_bond(evaluation: Evaluation) -> Found:
    """Every enclosure whose neutral bond is installed or must not be, where the bond moves or some enclosure must not have one."""
    system = evaluation.system
    enclosures = [item for item in system.equipment.values() if item.kind != "generator" and _bond(item) in ("installed", "removed")]
    if not _islands(system) and all(_bond(item) == "installed" for item in enclosures):
        return ()
    return tuple(on_equipment(item) for item in enclosures)


def _islands(system: System) -> bool:
    return any(item.transfers for item in system.equipment.values())


def _bond(item: Equipment) -> str:
    return item.neutral_bond.state.value if item.neutral_bond is not None else ""


def neutral_is_bonded_here(evaluation: Evaluation) -> Found:
    """Enclosures with the bond installed."""
    items = evaluation.system.equipment.values()
    return tuple(on_equipment(item) for item in items if item.neutral_bond is not None and item.neutral_bond.state.is_bonded)


FACTS: dict[str, Fact] = {
    fact.__name__: fact
    for fact in (
        is_panelboard,
        is_feeder_supplied_panelboard,
        panel_live_when_utility_is_lost,
        panel_live_from_cord_alone,
        overcurrent_devices_supplied_from_multiple_sources,
        busbar_uses_opposite_end_rule,
        busbar_uses_sum_of_breakers_rule,
        pcs_limits_busbar_current,
        ems_sets_maximum_current,
        ems_controls_loads_remotely,
        project_has_moving_or_forbidden_neutral_bond,
        neutral_is_bonded_here,
    )
}
