"""In island and generator mode the sources together stay within the rating of every busbar they feed."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.code.equations.busbar import sources_at_125_percent_a
from permitgen.rules.judgement import Judgement, Verdict, all_of, does_not_apply, require_at_most
from permitgen.rules.parts import parts_for
from permitgen.rules.rule import rule
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.spanning_forest import joined_with
from permitgen.values.equation import sum_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.busbar import Busbar
    from permitgen.system.power_source import PowerSource


@rule(
    "island-busbar",
    title="In island and generator mode the sources together stay within the rating of every busbar they feed",
    provision="island_busbar",
    judges="busbar",
)
def judge(busbar: Busbar, given: Given) -> Judgement:
    """Judge one busbar in each mode without the utility.

    Requires: sum of the output currents of all sources that feed it in the mode ≤ its rating; 125 percent of it is the careful reading,
        except of a generator that runs beside nothing: it is interconnected with no source, and its device and the panel's protect the bar.
    Why: with the contactor open no main stands before the busbar; only what the sources can give limits it.
    Applies to: busbars that stay alive without the utility.
    Example that fails: three sources of 48 A on a busbar of 125 A: 144 A.
    Example that passes: two of them: 96 A, and 120 A at 125 percent.
    """
    modes = [mode for mode in given.system.modes if mode is not OperatingMode.WITH_UTILITY]
    parts = parts_for(modes, lambda mode: _in_mode(busbar, mode, given))
    if not parts:
        return does_not_apply(f"{busbar.tag}: its busbar is de-energized without the utility")
    return all_of(f"{busbar.tag}: the sources of the island stay within the busbar", parts)


def _in_mode(busbar: Busbar, mode: OperatingMode, given: Given) -> Iterator[Judgement]:
    sources = _sources(busbar, mode, given)
    if not any(source.forms_island for source in sources):
        return
    provision = given.provision("island_busbar")
    rating = given.need(busbar.rating_a, f"busbar rating of {busbar.tag}").named("B")
    outputs = [given.need(s.output_a, f"output current of {s.id}").named(f"I_{s.id}") for s in sources]
    total = sum_of(outputs, symbol="ΣI", title=f"sources on the busbar of {busbar.tag}, {mode}", provision=provision)
    message = f"{busbar.tag}: sources of {total.number:.4g} A on a busbar of {rating.figure} A, {mode}"
    yield require_at_most(message, computed=total, limit=rating)
    if len(sources) == 1 and sources[0].kind == "generator":
        return
    factor = provision.value("source_factor")
    careful = sources_at_125_percent_a.derive(
        source_factor=factor, sources_a=total, provision=provision, title=f"125 percent of them, {mode}"
    )
    message = f"{busbar.tag}: 125 percent of the sources is {careful.number:.4g} A on a busbar of {rating.figure} A, {mode}"
    yield require_at_most(message, computed=careful, limit=rating, otherwise=Verdict.CAUTION)


def _sources(busbar: Busbar, mode: OperatingMode, given: Given) -> tuple[PowerSource, ...]:
    def find() -> tuple[PowerSource, ...]:
        reached = joined_with(given.system.graph, busbar.node, mode)
        return tuple(s for s in given.system.sources.values() if s.is_ac and s.kind != "utility" and s.node in reached)

    return given.once_for_topology(("sources without utility", busbar.tag, mode), find)
