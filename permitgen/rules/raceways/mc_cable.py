"""Metal-clad cable lies in wet places only where water cannot enter it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.raceway import Raceway


@rule("mc-cable", title="Metal-clad cable lies in wet places only where water cannot enter it", provision="mc_cable_wet", judges="raceway")
def judge(raceway: Raceway, given: Given) -> Judgement:
    """Judge where metal-clad cable runs.

    Requires: in a wet place or underground a cable that is listed for it, with a jacket or conductors that stand water.
    Why: plain armor is a coil of strip; rain runs in between its turns and stays.
    Applies to: metal-clad cable; its armor as ground is judged with the equipment grounding conductor, its supports with them.
    Example that fails: plain metal-clad cable down an outside wall.
    Example that passes: PVC-jacketed metal-clad cable listed for wet places.
    """
    del given
    if raceway.kind != "MC cable":
        return does_not_apply(f"{raceway.tag} is not metal-clad cable")
    if not raceway.is_wet_or_buried:
        return require(fact=True, message=f"{raceway.tag}: metal-clad cable in a dry place")
    listed = raceway.answer("listed_for_wet")
    where = "underground" if raceway.underground else "in a wet place"
    message = f"{raceway.tag}: metal-clad cable {where} is {'' if listed else 'not '}listed for it"
    return require(listed, message, missing=f"whether the cable {raceway.tag} is listed for wet places")
