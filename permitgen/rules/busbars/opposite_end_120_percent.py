"""The 120 percent rule: sources at the end of the busbar opposite its main, marked not to be relocated."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.busbar import busbar_limit_a, supply_and_sources_a
from permitgen.rules.judgement import Judgement, Verdict, does_not_apply, not_judged, require_at_most
from permitgen.rules.quantities.busbar_feeds import DeviceOnBusbar, devices_on_busbar, protecting_rating, source_current

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.busbar import Busbar


def judge(busbar: Busbar, given: Given) -> Judgement:
    """Judge ``P + 1.25 S ≤ 1.2 B`` where the sources sit at the end opposite the supply."""
    provision = given.provision("opposite_end_120_percent")
    if not busbar.supply_end:
        return not_judged(f"at which end {busbar.tag} is fed").under(provision)
    if busbar.supply_end == "center":
        return does_not_apply("the busbar is fed at its center")
    rating = given.need(busbar.rating_a, f"busbar rating of {busbar.tag}").named("B")
    total = supply_and_sources_a.derive(
        protecting_a=protecting_rating(given, busbar),
        source_factor=provision.value("source_factor"),
        sources_a=source_current(given, busbar),
        provision=provision,
    )
    limit = busbar_limit_a.derive(busbar_factor=provision.value("busbar_factor"), rating_a=rating, provision=provision)
    verdict = require_at_most(
        f"{total.number:g} A on {limit.number:g} A, 120 percent of the busbar's rating",
        computed=total,
        limit=limit,
        method="opposite end, 120 percent",
    ).under(provision)
    if verdict.verdict is Verdict.VIOLATED:
        return verdict
    at_end = sources_at_opposite_end(busbar, devices_on_busbar(given, busbar))
    if at_end is None:
        return not_judged(f"breaker positions of the sources in {busbar.tag}").under(provision)
    return verdict if at_end else does_not_apply("the sources are not at the end of the busbar opposite its supply").under(provision)


def sources_at_opposite_end(busbar: Busbar, devices: tuple[DeviceOnBusbar, ...]) -> bool | None:
    """Whether every source device lies farther from the supply than every load device; None where a position is not given."""
    sources = [device.position for device in devices if device.feeds_from_source]
    others = [device.position for device in devices if not device.feeds_from_source]
    if any(position is None for position in sources) or busbar.spaces is None or not sources:
        return None
    rows = [_row(position) for position in sources if position is not None]
    load_rows = [_row(position) for position in others if position is not None]
    last = _row(busbar.spaces)
    if busbar.supply_end == "bottom":
        rows, load_rows = [last + 1 - row for row in rows], [last + 1 - row for row in load_rows]
    farthest_load = max(load_rows, default=0)
    # A two-pole device occupies the row of its first space and the one below it.
    return max(rows) + 1 >= last and min(rows) >= farthest_load


def _row(space: int) -> int:
    return (space + 1) // 2
