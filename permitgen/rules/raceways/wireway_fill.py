"""Conductors fill no more than a fifth of a wireway."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require_at_most
from permitgen.rules.quantities.raceway_contents import raceway_contents, wireway_provision
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.raceway import Raceway


@rule("wireway-fill", title="Conductors fill no more than a fifth of a wireway", provision="metal_wireway_fill", judges="raceway")
def judge(raceway: Raceway, given: Given) -> Judgement:
    """Judge the sum of the areas of all conductors against the permitted share of a wireway.

    Requires: sum of conductor areas ≤ 20 percent of width × depth inside.
    Why: conductors that lie close cannot shed heat, and a cover that is pressed on pinches them.
    Applies to: metal and nonmetallic wireways. Splices and taps, which may fill 75 percent, are looked at on site.
    Example that fails: twelve 250 kcmil THHN in a wireway of 4 in by 4 in, 4.76 in² in 3.2 in².
    Example that passes: the same in one of 6 in by 6 in, 7.2 in² permitted.
    """
    if not raceway.is_wireway:
        return does_not_apply(f"{raceway.tag}: {raceway.kind} is no wireway")
    contents = raceway_contents(given, raceway)
    if contents is None:
        return does_not_apply(f"{raceway.tag} holds no conductors")
    area, permitted = contents.area_in2, contents.permitted_in2
    message = f"{raceway.tag}: {area.number:.4g} in² of conductors in the {raceway.kind}, {permitted.number:.3g} in² permitted"
    doubt = given.provision("pv_wire_diameter_estimate").doubt if contents.is_estimate else ""
    found = require_at_most(message, computed=area, limit=permitted, doubt=doubt)
    return found.under(given.provision(wireway_provision(raceway)))
