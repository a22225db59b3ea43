"""Bollards in front of storage are thick and tall enough, close enough to each other and not too close to the storage."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from permitgen.code.equations.clearances import length_in
from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require_at_least, require_at_most
from permitgen.rules.parts import parts_of
from permitgen.rules.quantities.bollards import bollards_near
from permitgen.rules.quantities.plan_distances import footprint_on_plan
from permitgen.rules.quantities.siting_places import storage_units
from permitgen.rules.rule import rule
from permitgen.system.site.geometry import distance_between
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
    from permitgen.system.site.geometry import Outline
    from permitgen.system.site.plan import Bollard


@rule(
    "storage-bollards",
    title="Bollards in front of storage are thick and tall enough, close enough to each other and not too close to the storage",
    provision="ess_bollards",
    judges="energy_storage_system",
)
def judge(unit: EnergyStorageSystem, given: Given) -> Judgement:
    """Judge the bollards on the site plan that protect a storage unit.

    Requires: diameter ≥ 3 in, 36 in exposed, ≤ 60 in apart, ≥ 6 in from the unit.
    Why: a thin or low post bends over onto the battery; a wide gap lets the bumper through.
    Applies to: storage units that the project says are protected by bollards.
    Example that fails: two bollards 62 in apart.
    Example that passes: bollards of 4 in, 36 in tall, 40 in apart, 3 ft in front of the unit.
    """
    if unit not in storage_units(given) or unit.place is None or unit.place.word("vehicle_protection") != "bollard":
        return does_not_apply(f"{unit.tag}: not protected by bollards")
    outline = given.need(footprint_on_plan(given.system, unit), f"place, direction and size of {unit.tag} on the site plan")
    near = bollards_near(given.system, outline)
    given.need(near or None, f"places of the bollards before {unit.tag} on the site plan")
    parts = parts_of(
        lambda: _thick_and_away(unit, near, outline, given), lambda: _tall(unit, near, given), lambda: _apart(unit, near, given)
    )
    return all_of(f"{unit.tag}: {len(near)} bollards", parts)


def _thick_and_away(unit: EnergyStorageSystem, near: list[Bollard], outline: Outline, given: Given) -> list[Judgement]:
    limits = given.provision("ess_bollards")
    diameters = [given.need(bollard.diameter_ft, "diameter of the bollards") for bollard in near]
    diameter = _inches(min(diameters), "smallest diameter of the bollards")
    gap = min(distance_between([bollard.point], outline) - wide / 2 for bollard, wide in zip(near, diameters, strict=True))
    clear = _inches(gap, "smallest distance of a bollard to the unit")
    return [
        require_at_least(f"{unit.tag}: bollards {diameter.length} thick", computed=diameter, limit=limits.value("diameter_in")),
        require_at_least(f"{unit.tag}: bollards {clear.number:.1f} in away", computed=clear, limit=limits.value("from_unit_in")),
    ]


def _tall(unit: EnergyStorageSystem, near: list[Bollard], given: Given) -> Judgement:
    height = _inches(min(given.need(bollard.height_ft, "height of the bollards") for bollard in near), "smallest height of the bollards")
    limit = given.provision("ess_bollards").value("exposed_in")
    return require_at_least(f"{unit.tag}: bollards {height.length} tall", computed=height, limit=limit)


def _apart(unit: EnergyStorageSystem, near: list[Bollard], given: Given) -> Judgement | None:
    if len(near) < 2:
        return None
    apart = _inches(max(_to_next(bollard, near) for bollard in near), "largest distance of a bollard to the next")
    limit = given.provision("ess_bollards").value("spacing_in")
    return require_at_most(f"{unit.tag}: bollards {apart.number:.1f} in apart", computed=apart, limit=limit)


def _to_next(bollard: Bollard, near: list[Bollard]) -> float:
    return min(math.dist(bollard.point, other.point) for other in near if other is not bollard)


def _inches(feet: float, title: str) -> Value:
    return length_in.derive(length_ft=Value(feet, "ft", FromSystem("site plan, bollards"), "d", title), title=title)
