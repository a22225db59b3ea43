"""Center-fed panelboard of a dwelling: 120 percent with the sources at one end only."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.busbar import busbar_limit_a, supply_and_sources_a
from permitgen.rules.judgement import Judgement, Verdict, does_not_apply, not_judged, require_at_most
from permitgen.rules.quantities.busbar_feeds import devices_on_busbar, protecting_rating, source_current, sources_at_end

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.busbar import Busbar


def judge(busbar: Busbar, given: Given) -> Judgement:
    """Judge ``P + 1.25 S ≤ 1.2 B`` where the panel is fed at its center and the sources sit at one end, not at both."""
    if not busbar.supply_end:
        return not_judged(f"at which end {busbar.tag} is fed").under(given.provision("center_fed_busbar"))
    if busbar.supply_end != "center":
        return does_not_apply("the busbar is not fed at its center")
    provision = given.provision("center_fed_busbar")
    rating = given.need(busbar.rating_a, f"busbar rating of {busbar.tag}").named("B")
    total = supply_and_sources_a.derive(
        protecting_a=protecting_rating(given, busbar),
        source_factor=provision.value("source_factor"),
        sources_a=source_current(given, busbar),
        provision=provision,
    )
    limit = busbar_limit_a.derive(busbar_factor=provision.value("busbar_factor"), rating_a=rating, provision=provision)
    verdict = require_at_most(
        f"{total.number:g} A on {limit.number:g} A, 120 percent of a center-fed busbar", computed=total, limit=limit, method="center-fed"
    ).under(provision)
    if verdict.verdict is Verdict.VIOLATED:
        return verdict
    devices = devices_on_busbar(given, busbar)
    ends = [sources_at_end(busbar, devices, end) for end in ("top", "bottom")]
    if None in ends:
        return not_judged(f"breaker positions of the sources in {busbar.tag}").under(provision)
    return verdict if any(ends) else does_not_apply("not every source is at one and the same end of the center-fed busbar").under(provision)
