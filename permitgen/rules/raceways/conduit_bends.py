"""Bends between pull points add up to no more than a full turn."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require_at_most
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.raceway import Raceway


@rule("conduit-bends", title="Bends between pull points add up to no more than a full turn", provision="conduit_bends", judges="raceway")
def judge(raceway: Raceway, given: Given) -> Judgement:
    """Judge the sum of the bends of one run.

    Requires: at most 360 degrees between pull points.
    Why: the pull grows with every bend until insulation tears.
    Applies to: raceways whose bends the file states; others are counted on site.
    Example that fails: five quarter bends.
    Example that passes: four quarter bends.
    """
    if not raceway.is_conduit:
        return does_not_apply(f"{raceway.tag}: {raceway.kind} is not a raceway")
    bends = raceway.fact("bends")
    if bends is None:
        return does_not_apply(f"{raceway.tag}: its bends are not in the file; they are counted on site")
    limit = given.provision("conduit_bends").value("largest_deg")
    return require_at_most(f"{raceway.tag}: {bends.figure}° of bends, at most {limit.figure}°", computed=bends, limit=limit)
