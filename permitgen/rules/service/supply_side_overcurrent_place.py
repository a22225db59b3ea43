"""The first overcurrent device of a supply-side source is close to the tap.

2017: within 10 ft of conductor. 2020: within 10 ft where the conductors run inside a dwelling, outside at the first readily
accessible place, without a length. 2023 gives no length and sends to the service article: outside, or inside nearest the point of
entrance. Longer runs with limiters at the tap are left to the authority.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require, require_at_most
from permitgen.rules.parts import parts_of
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.quantities.length_of_ways import longest_way_ft
from permitgen.rules.quantities.service_disconnects import service_side
from permitgen.rules.rule import rule
from permitgen.rules.service.service_disconnect_location import nearest_entrance
from permitgen.system.walks.circuit_sides import CircuitRole

if TYPE_CHECKING:
    from permitgen.code.provision import Provision
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit


@rule(
    "supply-side-overcurrent-place",
    title="The first overcurrent device of a supply-side source is close to the tap",
    provision="supply_side_overcurrent_place",
    judges="circuit",
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the length of the conductors from the tap to the source's first device.

    Requires: 2017: ≤ 10 ft; 2020: ≤ 10 ft inside a dwelling, outside at a readily accessible place; 2023: as a service disconnect.
    Why: no device on the premises protects these conductors from the utility's fault current.
    Applies to: service conductors that lead to the disconnect of a supply-side source and nowhere else.
    Example that fails: 12 ft of conductor to the fused disconnect, NEC 2017.
    Example that passes: 10 ft.
    """
    ends = {circuit.start.tag, circuit.finish.tag}
    to_source = {d.enclosure for d in service_side(given).of_sources} & ends
    if role(given, circuit) is not CircuitRole.SERVICE or not to_source or _feeds_loads_too(given, circuit):
        return does_not_apply(f"{circuit.tag}: not the conductors of a supply-side source")
    provision = given.provision("supply_side_overcurrent_place")
    given.need(circuit.runs or None, f"raceway of {circuit.tag}")
    runs = [given.system.raceways[tag] for tag in circuit.runs]
    inside = [run for run in runs if run.inside_building]
    if provision.has("longest_ft"):
        counted = runs
    elif provision.has("longest_in_dwelling_ft") and inside:
        counted = inside
    else:
        return _outside(given, circuit, to_source, provision)
    field = "longest_ft" if provision.has("longest_ft") else "longest_in_dwelling_ft"
    stated = circuit.fact("tap_length") if counted == runs else None
    total = stated or longest_way_ft(given, circuit, f"conductors of {circuit.tag} to the first device", lambda run: run in counted)
    limit = provision.value(field)
    return require_at_most(f"{circuit.tag}: {total.length} to the first device, {limit.length} permitted", computed=total, limit=limit)


def _feeds_loads_too(given: Given, circuit: Circuit) -> bool:
    """Whether a service disconnect of the loads lies beyond the circuit: then it is the service itself, not the source's conductors."""
    reached = given.system.graph.reach(given.system.utility_nodes, lambda link: link.circuit != circuit.tag)
    return any(found.link.first not in reached and found.link.second not in reached for found in service_side(given).of_loads)


def _outside(given: Given, circuit: Circuit, to_source: set[str], provision: Provision) -> Judgement:
    tag = sorted(to_source)[0]
    item = given.system.equipment[tag]
    place = item.place
    accessible = place.readily_accessible if place is not None else None
    words = "at a readily accessible place" if accessible else "not readily accessible"
    message = f"{circuit.tag}: its first device, in {tag}, is {words}"
    reached = require(accessible, message, missing=f"whether {tag} is readily accessible").under(provision)
    if provision.has("longest_in_dwelling_ft"):
        return reached
    place_of_service = given.provision("service_disconnect_location")
    return all_of(message, [reached, *parts_of(lambda: nearest_entrance(item, given).under(place_of_service))])
