"""What keeps the house alive without the utility gives the voltage that its loads are made for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply
from permitgen.rules.parts import parts_for
from permitgen.rules.quantities.source_voltage import compare_voltage
from permitgen.rules.rule import rule
from permitgen.system.operating_mode import OperatingMode

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.subjects import InMode
    from permitgen.system.power_source import PowerSource


@rule(
    "island-voltage",
    title="What keeps the house alive without the utility gives the voltage that its loads are made for",
    provision="island_voltage",
    judges="mode",
)
def judge(subject: InMode, given: Given) -> Judgement:
    """Judge the voltage of each source that forms the island, or of the generator, in one mode.

    Requires: the nominal voltage of the system that it feeds instead of the utility.
    Why: motors and electronics of 240 V burn or stall on another voltage, and nobody sees it before the first outage.
    Applies to: modes without the utility.
    Example that fails: generator of 208 V behind the transfer switch of a 120/240 V house.
    Example that passes: storage units of 240 V in it.
    """
    if subject.mode is OperatingMode.WITH_UTILITY:
        return does_not_apply("the utility supplies the voltage")
    sources = [source for source in given.system.sources.values() if _keeps_alive(source, subject.mode)]
    if not sources:
        return does_not_apply(f"{subject.tag}: no source keeps the house energized in this mode")
    parts = parts_for(sources, lambda source: compare_voltage(given, source, "the house"))
    return all_of(f"{subject.tag}: {', '.join(source.id for source in sources)} give the voltage of the house", parts)


def _keeps_alive(source: PowerSource, mode: OperatingMode) -> bool:
    generator = source.kind == "generator"
    return source.is_ac and source.forms_island and source.kind != "utility" and generator == (mode is OperatingMode.ON_GENERATOR)
