"""The service disconnect stands outside, or inside nearest the point of entrance, readily accessible and not in a bathroom.

The code names no length for "nearest"; a jurisdiction often does, and its option then is the limit. Without one, service
conductors that run inside before their disconnect are a reason to ask.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.given import MissingFactError
from permitgen.rules.judgement import Judgement, Verdict, all_of, does_not_apply, not_judged, require, require_at_most
from permitgen.rules.parts import parts_of
from permitgen.rules.quantities.dwelling_carried import serves_small_dwelling
from permitgen.rules.quantities.service_disconnects import circuits_landing_at, reached_from, service_side
from permitgen.rules.quantities.service_wiring import counts_as_outside
from permitgen.rules.rule import rule
from permitgen.values.equation import sum_of
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Way
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.place import Place

OPTION = "longest_service_conductors_inside_ft"


@rule(
    "service-disconnect-location",
    title="The service disconnect stands outside, or inside nearest the point of entrance, readily accessible and not in a bathroom",
    provision="service_disconnect_location",
    judges="equipment",
)
def judge(item: Equipment, given: Given) -> Judgement:
    """Judge the place of each service disconnect.

    Requires: readily accessible; not in a bathroom; outside, or inside nearest the point of entrance.
    Why: whoever must cut the power finds it at once, and unprotected conductors run inside as little as possible.
    Applies to: the enclosures of service disconnects.
    Example that fails: service disconnect in a bathroom.
    Example that passes: service disconnect on the outside wall beside the meter.
    """
    if item.tag not in service_side(given).enclosures:
        return does_not_apply(f"{item.tag}: holds no service disconnect")
    place = given.need(item.place, f"place of {item.tag}")
    accessible = "readily accessible" if place.readily_accessible else "not readily accessible"
    parts = [
        require(place.readily_accessible, f"{item.tag}: {accessible}", missing=f"whether {item.tag} is readily accessible"),
        require("bath" not in place.space.casefold(), f"{item.tag}: service disconnect in a {place.space or 'place not named'}"),
        *parts_of(lambda: _at_small_dwelling(item, place, given), lambda: nearest_entrance(item, given)),
    ]
    return all_of(f"{item.tag}: service disconnect readily accessible {'outside' if place.outdoors else 'inside'}", parts)


def _at_small_dwelling(item: Equipment, place: Place, given: Given) -> Judgement | None:
    """Where the edition asks for it, the service disconnect of a one- or two-family dwelling is outdoors; equipment that stays may stay."""
    if not given.provision("service_disconnect_location").flag("outdoors_at_small_dwellings"):
        return None
    services = [each.tag for each in given.system.equipment.values() if each.kind == "utility_service"]
    answers = {serves_small_dwelling(given, tag) for tag in services if _is_behind(given, item, tag)}
    if answers <= {False}:
        return None
    message = f"{item.tag}: service disconnect of a one- or two-family dwelling, {'outdoors' if place.outdoors else 'not outdoors'}"
    otherwise = Verdict.CAUTION if item.status == "existing" else Verdict.VIOLATED
    found = require(place.outdoors, message, missing=f"whether {item.tag} is outdoors", otherwise=otherwise)
    return found if True in answers or found.holds else not_judged(f"whether {item.tag} disconnects a one- or two-family dwelling")


def _is_behind(given: Given, item: Equipment, service: str) -> bool:
    return any(node.split(".", maxsplit=1)[0] == item.tag for node in reached_from(given, service))


def nearest_entrance(item: Equipment, given: Given) -> Judgement:
    """Judge whether the service conductors that end at ``item`` run inside before it; equipment outdoors has none inside."""
    place = given.need(item.place, f"place of {item.tag}")
    outdoors = given.need(place.outdoors, f"whether {item.tag} is outdoors")
    if outdoors:
        return require(fact=True, message=f"{item.tag}: outdoors")
    inside: dict[str, Value] = {}
    for circuit in circuits_landing_at(given, item.tag):
        # Ways side by side are as long inside as the longest of them, not as all together.
        longest: dict[str, Value] = max((_inside(given, way) for way in circuit.ways), key=_feet_of, default={})
        inside.update(longest)
    total = sum_of(list(inside.values()), symbol="L_in", title=f"service conductors inside the building before {item.tag}", unit="ft")
    option = given.option(OPTION, "")
    if option:
        limit = Value(_feet(option), "ft", FromSystem(f"option {OPTION} of the jurisdiction"), "L_max", "longest service conductors inside")
        return require_at_most(f"{item.tag}: {total.length} of service conductors inside", computed=total, limit=limit)
    if total.number == 0:
        return require(fact=True, message=f"{item.tag}: at the point of entrance")
    message = f"{item.tag}: {total.length} of service conductors inside; the disconnect belongs nearest the point of entrance"
    return require(fact=False, message=message, otherwise=Verdict.CAUTION, values=(total,))


def _feet_of(lengths: dict[str, Value]) -> float:
    return sum(length.number for length in lengths.values())


def _inside(given: Given, way: Way) -> dict[str, Value]:
    """Return the lengths of the runs of a way that lie inside the building, by tag."""
    runs = (given.system.raceways[tag] for tag in way.runs)
    counted = (run for run in runs if run.inside_building and not counts_as_outside(given, run))
    return {run.tag: given.need(run.length_ft, f"length of {run.tag}") for run in counted}


def _feet(option: str) -> float:
    try:
        return float(option.removesuffix("ft"))
    except ValueError:
        raise MissingFactError(f'option {OPTION} of the jurisdiction as a number of feet ("{option}" is none)') from None
