"""The grounded conductor is brought to every service disconnect and is large enough as fault path.

Apart from the neutral load, its area follows the bonding-jumper table by the ungrounded conductors of its own set; in parallel
sets no neutral is smaller than 1/0 AWG. It need never be larger than the ungrounded conductors.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require, require_at_least
from permitgen.rules.larger_conductor import with_neutral
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.quantities.conductor_area import area_of_size
from permitgen.rules.quantities.grounding_service_area import ServiceArea, area_of, jumper_for
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.values.conductor_size import ConductorSize
from permitgen.values.equation import selected

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.values.value import Value


@rule(
    "service-neutral-size",
    title="The grounded conductor is brought to every service disconnect and is large enough as fault path",
    provision="service_neutral_size",
    judges="circuit",
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the neutral of service conductors as the path of ground-fault current.

    Requires: a grounded conductor with at least the table's area for the ungrounded conductors of its set; 1/0 AWG in parallel sets.
    Why: until the service disconnect, fault current returns to the utility by the neutral alone.
    Applies to: service conductors of a grounded system.
    Example that fails: 6 AWG copper neutral with 4/0 AWG copper service conductors; 2 AWG is required.
    Example that passes: 2 AWG copper neutral, the same service.
    """
    if role(given, circuit) is not CircuitRole.SERVICE:
        return does_not_apply(f"{circuit.tag}: not service conductors")
    conductors = circuit.conductors
    if not conductors.has_neutral:
        return require(fact=False, message=f"{circuit.tag}: the grounded conductor is not brought along with the service conductors")
    own = replace(circuit, conductors=replace(conductors, sets=1))
    service = area_of(given, [own])
    required = jumper_for(given, service, conductors.material)
    limit = _for_parallel_sets(given, circuit, required.area_cmil) if conductors.sets > 1 else required.area_cmil
    limit = _not_above_ungrounded(given, service, limit)
    size = conductors.neutral_size or given.need(conductors.size, f"conductor size of {circuit.tag}")
    return require_at_least(
        f"{circuit.tag}: {size} {conductors.material} neutral; {required} is required as fault path",
        computed=area_of_size(given, size, "A_N", f"area of the neutral, {size}"),
        limit=limit,
        remedies=(with_neutral(circuit, required.size),) if required.size is not None and conductors.sets == 1 else (),
    )


def _for_parallel_sets(given: Given, circuit: Circuit, area: Value) -> Value:
    provision = given.provision("service_neutral_size")
    smallest = ConductorSize(provision.text("parallel_smallest_size"))
    least = area_of_size(given, smallest, "A_par", f"smallest neutral in parallel sets, {smallest}")
    number = max(area.number, least.number)
    title = f"neutral of each set of {circuit.tag}"
    return selected(number, "cmil", by="larger of", inputs=(area, least), symbol="A_N,req", title=title, provision=provision)


def _not_above_ungrounded(given: Given, service: ServiceArea, limit: Value) -> Value:
    if service.area_kcmil.number * 1000 >= limit.number:
        return limit
    title = "neutral no larger than the ungrounded conductors"
    provision = given.provision("service_neutral_size")
    number = service.area_kcmil.number * 1000
    return selected(number, "cmil", by="smaller of", inputs=(limit, service.area_kcmil), symbol="A_N,req", title=title, provision=provision)
