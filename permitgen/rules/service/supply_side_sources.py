"""Sources connected ahead of the service disconnect stay, together, within the service.

Until 2017 the ratings of their overcurrent devices are summed and compared with the rating of the service; from 2020 their
output currents, compared with the ampacity of every service conductor on their way, so that the weakest decides. 125 percent is not
taken here: each source's own conductors and device have it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, not_judged, require_at_most
from permitgen.rules.parts import parts_for, parts_of
from permitgen.rules.quantities.circuit_current import source_side
from permitgen.rules.quantities.conductor_ampacity import conductor_ampacity
from permitgen.rules.quantities.load_capacity import service_limit
from permitgen.rules.quantities.service_disconnects import ServiceSide, service_circuits, service_side
from permitgen.rules.quantities.source_output import counted_outputs
from permitgen.rules.rule import rule
from permitgen.values.equation import one_or_sum_of, sum_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.busbar import Busbar
    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.utility_service import UtilityService
    from permitgen.values.value import Value

BY_DEVICE = "device ratings with the service rating"


@rule(
    "supply-side-sources",
    title="Sources connected ahead of the service disconnect stay, together, within the service",
    provision="supply_side_sum",
    judges="utility_service",
)
def judge(service: UtilityService, given: Given) -> Judgement:
    """Judge the sum of the sources on the supply side.

    Requires: 2017: sum of the sources' devices ≤ rating of the service, of several mains also ≤ what the service conductors carry and ≤
        the one busbar on which they stand; from 2020: sum of output currents ≤ ampacity of the service conductors. On a busbar with main
        lugs alone, in all editions: sum of the sources' devices there ≤ rating of the busbar.
    Why: the sources may all feed the utility at once through the same conductors.
    Applies to: services with a source connected ahead of the service disconnect.
    Example that fails: 208 A of sources on service conductors of 200 A.
    Example that passes: 192 A of sources on the same conductors.
    """
    side = service_side(given)
    if not side.of_sources:
        return does_not_apply(f"{service.tag}: no source is connected ahead of the service disconnect")
    provision = given.provision("supply_side_sum")
    buses = parts_for(_busbars(given, side), lambda bus: _on_busbar(bus, given, side))
    if provision.text("compares") == BY_DEVICE:
        parts = [_by_devices(service, given, side), *buses]
        return all_of(f"{service.tag}: the sources ahead of the service disconnect are within the service", parts) if buses else parts[0]
    parts = parts_for(_on_the_way(given, side), lambda circuit: _on_one(circuit, given, side))
    if not parts:
        return not_judged("service conductors")
    return all_of(f"{service.tag}: the service conductors carry the sources ahead of the service disconnect", [*parts, *buses])


def _busbars(given: Given, side: ServiceSide) -> tuple[Busbar, ...]:
    """Return the busbars with main lugs alone on which sources meet the service conductors: nothing but their devices limits them."""
    return tuple(bus for tag, bus in given.system.busbars.items() if any(disconnect.enclosure == tag for disconnect in side.of_sources))


def _on_busbar(bus: Busbar, given: Given, side: ServiceSide) -> Judgement:
    here = [disconnect for disconnect in side.of_sources if disconnect.enclosure == bus.tag]
    devices = [given.need(d.rating_a, f"rating of {d.handle}").named(f"OCPD_{d.handle}") for d in here]
    provision = given.provision("supply_side_sum")
    total = sum_of(devices, symbol="ΣOCPD", title=f"devices of the sources on the busbar of {bus.tag}", provision=provision)
    rating = _rating(given, bus)
    message = f"{bus.tag}: breakers and fuses of {total.figure} A of sources ahead of the service disconnect, busbar of {rating.figure} A"
    return require_at_most(message, computed=total, limit=rating)


def _on_one(circuit: Circuit, given: Given, side: ServiceSide) -> Judgement:
    beyond = {source.id for source in source_side(given, circuit).sources}
    sources = [source for disconnect in side.of_sources for source in disconnect.sources if source.id in beyond]
    outputs = counted_outputs(given, sources, circuit.tag)
    provision = given.provision("supply_side_sum")
    total = sum_of(outputs, symbol="ΣI", title="output currents of the sources on the supply side", provision=provision, unit="a")
    limit = conductor_ampacity(given, circuit).final_a
    return require_at_most(
        f"{circuit.tag}: sources of {total.figure} A ahead of the service disconnect, service conductors carry {limit.figure} A",
        computed=total,
        limit=limit,
    )


def _by_devices(service: UtilityService, given: Given, side: ServiceSide) -> Judgement:
    devices = [given.need(d.rating_a, f"rating of {d.handle}").named(f"OCPD_{d.enclosure}") for d in side.of_sources]
    mains = [given.need(d.rating_a, f"rating of {d.handle}").named(f"I_{d.enclosure}") for d in side.of_loads]
    total = sum_of(devices, symbol="ΣOCPD", title="devices of the sources on the supply side", provision=given.provision("supply_side_sum"))
    if not mains:
        return not_judged(f"service disconnects behind {service.tag} and their ratings")
    rating = one_or_sum_of(mains, symbol="I_service", title="rating of the service", unit="a")
    parts = [_within(service, total, rating)]
    if len(mains) > 1:
        parts += parts_of(lambda: _within(service, total, service_limit(given, service.tag)))
        parts += parts_for(_with_several_mains(given, side), lambda bus: _within(service, total, _rating(given, bus)))
    return all_of(parts[0].message, parts)


def _within(service: UtilityService, total: Value, limit: Value) -> Judgement:
    return require_at_most(
        f"{service.tag}: breakers and fuses of {total.figure} A of sources ahead of the service, service of {limit.figure} A",
        computed=total,
        limit=limit,
    )


def _with_several_mains(given: Given, side: ServiceSide) -> tuple[Busbar, ...]:
    """Return the busbar on which all mains of the service stand: the service is no larger, whatever they are together."""
    return tuple(given.system.busbars[tag] for tag in side.enclosures if tag in given.system.busbars and len(side.enclosures) == 1)


def _rating(given: Given, bus: Busbar) -> Value:
    return given.need(bus.rating_a, f"busbar rating of {bus.tag}")


def _on_the_way(given: Given, side: ServiceSide) -> tuple[Circuit, ...]:
    """Every service conductor between the sources and the utility that also serves loads; where none does, those at the service point.

    Conductors that serve sources alone carry 125 percent of them, which conductor-ampacity asks for.
    """
    wanted = {source.id for disconnect in side.of_sources for source in disconnect.sources}
    ways = tuple(c for c in service_circuits(given) if any(source.id in wanted for source in source_side(given, c).sources))
    shared = tuple(c for c in ways if source_side(given, c).has_loads)
    utility = {node.split(".", maxsplit=1)[0] for node in given.system.utility_nodes}
    return shared or tuple(c for c in ways if utility & {c.start.tag, c.finish.tag})
