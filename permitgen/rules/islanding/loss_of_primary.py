"""When the utility fails, every interconnected source leaves it by itself."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, not_judged, require
from permitgen.rules.rule import rule
from permitgen.system.equipment.inverter import Inverter
from permitgen.system.equipment.photovoltaic import PVArray
from permitgen.system.equipment.utilization import EVSupplyEquipment
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.island import way_to_utility

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.subjects import InstalledSource
    from permitgen.system.power_source import PowerSource


@rule(
    "loss-of-primary",
    title="When the utility fails, every interconnected source leaves it by itself",
    provision="loss_of_primary",
    judges="source",
)
def judge(subject: InstalledSource, given: Given) -> Judgement:
    """Judge one source for what it does when the utility fails.

    Requires: listed as interactive, so that it stops by itself; where it forms an island, also that no way to the utility is left.
    Why: a source that goes on feeding a line that is thought dead.
    Applies to: sources that run in parallel with the utility; generators do not.
    Example that fails: an inverter that is not listed as interactive; a storage unit that is not and runs beside the utility.
    Example that passes: a listed interactive inverter (UL 1741).
    """
    source = subject.source
    if source.kind == "generator" or not source.is_ac or not given.system.utility_nodes:
        return does_not_apply(f"{source.id} does not run in parallel with the utility")
    listed = _is_listed_interactive(source, given)
    if source.forms_island and not (listed is False and way_to_utility(given.system, source, OperatingMode.WITH_UTILITY)):
        modes = [mode for mode in given.system.modes if mode is not OperatingMode.WITH_UTILITY]
        if any(way_to_utility(given.system, source, mode) for mode in modes):
            return does_not_apply(f"{source.id} stays joined to the utility when it forms the island (see mid-required)")
        if listed is None and way_to_utility(given.system, source, OperatingMode.WITH_UTILITY):
            return not_judged(_question(source, given))
        return require(fact=True, message=f"{source.id} is cut off from the utility when it forms the island")
    message = f"{source.id} is {'' if listed else 'not '}listed as interactive"
    return require(listed, message, missing=_question(source, given))


def _is_listed_interactive(source: PowerSource, given: Given) -> bool | None:
    item = given.system.equipment[source.tag]
    if isinstance(item, PVArray):
        return item.module_inverter.is_listed_interactive if item.module_inverter is not None else None
    if isinstance(item, Inverter):
        return item.is_listed_interactive
    return item.answer("export_listed" if isinstance(item, EVSupplyEquipment) else "interactive_listed")


def _question(source: PowerSource, given: Given) -> str:
    """A vehicle's supply equipment is listed for feeding a home, which covers that it leaves the utility (UL 9741, from memory)."""
    is_vehicle = isinstance(given.system.equipment[source.tag], EVSupplyEquipment)
    return f"whether {source.tag} is listed {'for feeding the house' if is_vehicle else 'as interactive'}"
