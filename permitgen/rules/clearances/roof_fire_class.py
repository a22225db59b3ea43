"""An array on a roof has the fire class that the building code asks of the roof."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.rule import rule
from permitgen.system.walks.array_place import is_array_on_building

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.photovoltaic import PVArray

# From the best class on.
CLASSES = ("A", "B", "C", "none")


@rule(
    "roof-fire-class",
    title="An array on a roof has the fire class that the building code asks of the roof",
    provision="roof_structure_and_class",
    judges="pv_array",
)
def judge(array: PVArray, given: Given) -> Judgement:
    """Judge the fire class for which modules and racking are listed together.

    Requires: a class at least as good as the one the roof must have.
    Why: a brand that lands under the modules must not run up the roof.
    Applies to: arrays on roofs of which a class is required.
    Example that fails: modules and racking of class C on a roof of class A.
    Example that passes: class A on the same roof.
    """
    if not given.need(is_array_on_building(array), f"whether {array.tag} is on a building"):
        return does_not_apply(f"{array.tag}: not on a building")
    required = given.need(given.system.site.roof_fire_class or None, "fire class required of the roof (site, roof_fire_class)")
    if required not in CLASSES:
        return does_not_apply(f"{array.tag}: no fire class is required of the roof")
    own = given.need(array.word("fire_class") or None, f"fire class of {array.tag} with its racking")
    words = "without a fire class" if own == "none" else f"class {own}"
    return require(CLASSES.index(own) <= CLASSES.index(required), f"{array.tag}: {words} on a roof of class {required}")
