"""Overhead service conductors keep their height over ground and roofs and their distance from openings.

10 ft over ground on which people walk, 12 ft over driveways, 18 ft over streets; 8 ft over roofs, 3 ft over steep ones and 18 in over
an overhang; 3 ft from windows that open, doors and porches; attached 10 ft above ground or higher. A new array must not enter these.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require_at_least
from permitgen.rules.parts import parts_of
from permitgen.rules.quantities.service_wiring import service_circuits_in
from permitgen.rules.rule import rule
from permitgen.system.walks.array_place import is_array_on_building
from permitgen.system.walks.rapid_shutdown import arrays_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.raceway import Raceway

# The field of the provision for what lies below.
_ABOVE_GROUND = {"pedestrians": "above_walks_ft", "driveway": "above_driveways_ft", "street": "above_streets_ft"}
_ABOVE_ROOF = {"low slope": "above_roof_ft", "steep": "above_steep_roof_ft", "overhang": "above_overhang_ft"}


@rule(
    "service-drop-clearances",
    title="Overhead service conductors keep their height over ground and roofs and their distance from openings",
    provision="service_conductor_clearance",
    judges="raceway",
)
def judge(run: Raceway, given: Given) -> Judgement:
    """Judge the clearances of service conductors in the open.

    Requires: height over the ground by what is below; height over roofs by their slope; 3 ft from openings; attachment 10 ft high.
    Why: ladders, trucks, gutters and hands come near these conductors, which nothing on the premises interrupts.
    Applies to: new service conductors overhead, from the service point on; existing ones over a roof, where an array comes onto a building.
    Example that fails: service conductors 2-1/2 ft from a window that opens.
    Example that passes: 12 ft over the driveway, 3 ft from the nearest window, no roof below.
    """
    circuits = service_circuits_in(given, run)
    if not circuits or not run.is_free_air:
        return does_not_apply(f"{run.tag}: no overhead service conductors")
    provision = given.provision("service_conductor_clearance")
    if all(circuit.existing for circuit in circuits):
        if run.roof_below == "none" or not _comes_onto_building(given):
            return does_not_apply(f"{run.tag}: the overhead service conductors are existing and stay; no array comes under them")
        over_array = parts_of(lambda: _over_roof(given, run))
        return all_of(f"{run.tag}: overhead service conductors clear of the array", over_array).under(provision)
    parts = parts_of(
        lambda: _over_ground(given, run),
        lambda: _at_least(given, run, "attachment_height", "above ground at its attachment", "attachment_ft"),
        lambda: _at_least(given, run, "to_openings", "from the nearest opening", "from_windows_ft"),
        lambda: _over_roof(given, run),
    )
    return all_of(f"{run.tag}: overhead service conductors clear of ground, roof and openings", parts).under(provision)


def _comes_onto_building(given: Given) -> bool:
    """Whether a new array is on a building: its modules, and whoever works at them, come nearer to what hangs over the roof."""
    arrays = [array for array in arrays_of(given.system) if array.status != "existing"]
    return any(given.need(is_array_on_building(array), f"whether {array.tag} is on a building") for array in arrays)


def _over_ground(given: Given, run: Raceway) -> Judgement:
    below = given.need(run.below or None, f"what is below {run.tag} (pedestrians, driveway or street)")
    return _at_least(given, run, "height", f"over {below}", _ABOVE_GROUND[below])


def _over_roof(given: Given, run: Raceway) -> Judgement | None:
    roof = given.need(run.roof_below or None, f"the roof below {run.tag}, or that there is none")
    return None if roof == "none" else _at_least(given, run, "over_roof", f"over the {roof} roof", _ABOVE_ROOF[roof])


def _at_least(given: Given, run: Raceway, fact: str, words: str, field: str) -> Judgement:
    limit = given.provision("service_conductor_clearance").value(field)
    stated = given.need(run.fact(fact), f"distance of {run.tag} {words}")
    return require_at_least(f"{run.tag}: {stated.length} {words}, {limit.length} needed", computed=stated, limit=limit)
