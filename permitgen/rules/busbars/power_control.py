"""A listed power control system holds the sources so that the busbar it monitors stays within its rating."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.code.equations.busbar import sources_at_125_percent_a
from permitgen.rules.judgement import Judgement, Verdict, all_of, does_not_apply, not_judged, require_at_most
from permitgen.rules.parts import parts_of
from permitgen.rules.quantities.busbar_feeds import feeds_of, links_on_busbar, protecting_rating, sources_over
from permitgen.rules.quantities.source_output import controls_at, counted_output, held_together
from permitgen.values.equation import sum_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.busbar import Busbar

METHOD = "power control system"


def judge(busbar: Busbar, given: Given) -> Judgement:
    """Judge the monitored busbar with the set currents as they are, the sources outside the control at 125 percent.

    Two readings are met: on a monitored busbar the set value counts without a further 125 percent (this method); a busbar that
    only relies on the set value takes 125 percent of it (the other methods).
    """
    if not _controlled(busbar, given) or not given.in_force("power_control_system"):
        return does_not_apply("no listed power control system limits its sources")
    provision = given.provision("power_control_system")
    monitored = given.system.equipment[busbar.tag].answer("power_control_monitored")
    if monitored is None:
        return replace(not_judged(f"whether the power control system monitors the busbar of {busbar.tag}"), method=METHOD).under(provision)
    if not monitored:
        return does_not_apply("the power control system does not monitor this busbar").under(provision)
    parts = parts_of(lambda: _sum(busbar, given), lambda: list(single_devices(busbar, given)))
    verdict = all_of(parts[0].message, parts)
    return replace(verdict if verdict.verdict is not Verdict.PASSES else replace(parts[0], parts=tuple(parts)), method=METHOD).under(
        provision
    )


def _sum(busbar: Busbar, given: Given) -> Judgement:
    provision, methods = given.provision("power_control_system"), given.provision("sum_of_ratings")
    rating = given.need(busbar.rating_a, f"busbar rating of {busbar.tag}").named("B")
    controls = controls_at(given, busbar.tag)
    together = {tag for control in controls for tag in control.sources}
    sources = feeds_of(given, busbar).sources
    held = [(source, counted_output(given, source)) for source in sources if source.tag in together]
    terms = [protecting_rating(given, busbar), *held_together(given, controls, held)]
    for source in (each for each in sources if each.tag not in together):
        if source.limit_a is not None:
            terms.append(source.limit_a.named(f"I_set_{source.id}", f"current to which {source.id} is held"))
        else:
            output = given.need(source.output_a, f"output current of {source.id}").named(f"I_{source.id}")
            factor = methods.value("source_factor")
            terms.append(
                sources_at_125_percent_a.derive(source_factor=factor, sources_a=output, symbol=f"1.25 I_{source.id}", provision=methods)
            )
    total = sum_of(
        terms, symbol="P + ΣI", title=f"protecting device and controlled sources on the busbar of {busbar.tag}", provision=provision
    )
    message = f"{total.figure} A on a monitored busbar of {rating.figure} A, sources at their set currents"
    return require_at_most(message, computed=total, limit=rating)


def _controlled(busbar: Busbar, given: Given) -> set[str]:
    """Return the ids of the sources on a busbar that listed power control holds, each alone or together."""
    together = {tag for control in controls_at(given, busbar.tag) for tag in control.sources}
    return {source.id for source in feeds_of(given, busbar).sources if source.limit_a is not None or source.tag in together}


def single_devices(busbar: Busbar, given: Given) -> Iterator[Judgement]:
    """Judge the device over which a controlled source comes in: none is above the busbar's rating, for the control can fail.

    This binds whichever method the busbar meets.
    """
    controlled = _controlled(busbar, given)
    if not controlled or not given.in_force("power_control_system"):
        return
    provision = given.provision("power_control_system")
    rating = given.need(busbar.rating_a, f"busbar rating of {busbar.tag}").named("B")
    for link, device in links_on_busbar(given, busbar):
        if controlled & {source.id for source in sources_over(given, busbar, link)}:
            found = given.need(device.rating_a, f"rating of the breaker or fuse at {link.part}")
            message = f"device of {found.figure} A at {link.part}, over which a controlled source comes, on a busbar of {rating.figure} A"
            yield require_at_most(message, computed=found, limit=rating).under(provision)
