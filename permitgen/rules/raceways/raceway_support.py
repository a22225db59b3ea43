"""Raceways and cables are fastened near every enclosure and at the distances of their articles."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, not_judged, require_at_most
from permitgen.rules.quantities.raceway_supports import supports_of
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.raceway import Raceway


@rule(
    "raceway-support",
    title="Raceways and cables are fastened near every enclosure and at the distances of their articles",
    provision="raceway_support_spacing",
    judges="raceway",
)
def judge(raceway: Raceway, given: Given) -> Judgement:
    """Judge the distances of supports that the file states; the field checklist and the schedule print the limits for all others.

    Requires: first support and spacing no farther than the article of the raceway or cable permits for its kind and size.
    Why: a raceway that sags pulls its couplings apart, and with them the ground-fault path.
    Applies to: raceways and cables whose distances the file states; others are measured on site.
    Example that fails: 1 in PVC every 5 ft, 3 ft permitted.
    Example that passes: 2 in PVC every 5 ft.
    """
    spacing, first = raceway.fact("support_spacing"), raceway.fact("first_support")
    if spacing is None and first is None:
        return does_not_apply(f"{raceway.tag}: its supports are not in the file; they are measured on site")
    limits = supports_of(given, raceway)
    if raceway.is_wireway:
        return not_judged(f"supports of the {raceway.kind} {raceway.tag}, which are looked at on site")
    if limits is None:
        return does_not_apply(f"{raceway.tag}: conductors in free air")
    what = f"{raceway.trade_size} in {raceway.kind}" if raceway.trade_size else raceway.kind
    parts = []
    for stated, limit, words in ((spacing, limits.between_ft, "between supports"), (first, limits.from_enclosure_ft, "from the enclosure")):
        if stated is not None:
            message = f"{raceway.tag}: {what}, {stated.length} {words}, at most {limit.length}"
            parts.append(require_at_most(message, computed=stated, limit=limit).under(limits.provision))
    return all_of(f"{raceway.tag}: supports as near as its article asks", parts)
