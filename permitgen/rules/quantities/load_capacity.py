"""What a service or feeder can carry, and which loads hang on it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.given import MissingFactError
from permitgen.rules.judgement import at_least
from permitgen.rules.quantities.circuit_current import protecting_rating
from permitgen.rules.quantities.conductor_ampacity import conductor_ampacity
from permitgen.rules.quantities.load_scope import LoadScope, scope_on
from permitgen.rules.quantities.protection import devices_protecting
from permitgen.rules.quantities.service_disconnects import circuits_landing_at, enclosures_of, nodes_beyond, service_circuits, service_side
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.behind import nodes_behind
from permitgen.system.walks.circuit_sides import side_in_mode
from permitgen.system.walks.in_series import devices_in_series
from permitgen.values.equation import one_or_sum_of, selected

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.values.value import Value


def service_scope(given: Given, service: str) -> LoadScope:
    """Return every load that one service point can feed.

    Raises:
        MissingFactError: the power of a load is not stated.
    """
    return given.once(("service scope", service), lambda: _service_scope(given, service))


def _service_scope(given: Given, service: str) -> LoadScope:
    start = [f"{service}.service_point"]
    nodes = given.system.graph.reach(start, lambda link: OperatingMode.WITH_UTILITY in link.closed_in and not link.is_converter)
    return scope_on(given, set(nodes), "the dwelling")


def service_limit(given: Given, service: str) -> Value:
    """Return what one service carries, A: the ratings of its disconnects or the ampacity of its conductors, whichever is less.

    Raises:
        MissingFactError: a rating, or what an ampacity rests on, is not stated.
    """
    return given.once(("service limit", service), lambda: _service_limit(given, service))


def _service_limit(given: Given, service: str) -> Value:
    enclosures = enclosures_of(given, service)
    at_each = [capacity_at(given, tag) for tag in enclosures]
    together = one_or_sum_of(at_each, symbol="I_service", title="service disconnects together")
    landing = {circuit.tag for tag in enclosures for circuit in circuits_landing_at(given, tag)}
    shared = [c for c in service_circuits(given) if service in (c.start.tag, c.finish.tag) and c.tag not in landing]
    if not shared:
        return _through_meter(given, together)
    ampacities = [conductor_ampacity(given, circuit).final_a.named(f"A_{circuit.tag}") for circuit in shared]
    first = one_or_sum_of(ampacities, symbol="A_first", title="conductors from the service point")
    return _through_meter(given, _smallest(together, first, symbol="I_service", title="capacity of the service"))


def _through_meter(given: Given, capacity: Value) -> Value:
    """Return what passes the one meter too; where there are several, each carries a part of the load."""
    meters = [item for item in given.system.equipment.values() if item.kind == "meter"]
    rating = meters[0].fact("rating") if len(meters) == 1 else None
    if rating is None:
        return capacity
    of_meter = rating.named("I_meter", f"rating of the meter {meters[0].tag}")
    return _smallest(capacity, of_meter, symbol="I_service", title="capacity of the service through its meter")


def _smallest(*limits: Value, symbol: str, title: str, by: str = "smaller of") -> Value:
    return selected(min(limit.number for limit in limits), "a", by=by, inputs=limits, symbol=symbol, title=title)


def capacity_at(given: Given, tag: str) -> Value:
    """Return what the service disconnects in an enclosure, the conductors that land there and a meter of its own carry, A.

    Raises:
        MissingFactError: a rating, or what an ampacity rests on, is not stated.
    """
    ratings = [given.need(d.rating_a, f"rating of {d.handle}").named("I") for d in service_side(given).of_loads if d.enclosure == tag]
    rating = one_or_sum_of(ratings, symbol="I", title=f"service disconnects in {tag}", unit="a")
    ampacities = [conductor_ampacity(given, circuit).final_a for circuit in circuits_landing_at(given, tag)]
    return _smallest(rating, *ampacities, *_own_meters(given, tag), symbol=f"I_{tag}", title=f"capacity of the service at {tag}")


def _own_meters(given: Given, tag: str) -> list[Value]:
    """Return the ratings of the meters behind which an enclosure lies, where the service has several; those that state none left out."""
    meters = [item for item in given.system.equipment.values() if item.kind == "meter"]
    handles = {found.handle for found in service_side(given).of_loads if found.enclosure == tag}
    ends = {node for link in given.system.graph.links if link.handle in handles for node in (link.first, link.second)}
    ahead = [meter for meter in meters if len(meters) > 1 and ends <= nodes_behind(given.system, meter.tag)]
    found = [(meter.tag, meter.fact("rating")) for meter in ahead]
    return [rating.named("I_meter", f"rating of the meter {name}") for name, rating in found if rating is not None]


def scope_behind(given: Given, tag: str) -> LoadScope:
    """Return the loads behind the service disconnects in an enclosure.

    Raises:
        MissingFactError: the power of a load is not stated.
    """
    disconnects = [found for found in service_side(given).of_loads if found.enclosure == tag]
    return scope_on(given, nodes_beyond(given, disconnects), f"the loads behind {tag}")


def feeder_scope(given: Given, circuit: Circuit) -> LoadScope | None:
    """Return the loads on the side of a circuit away from the utility, None where the utility is on neither side or on both.

    Raises:
        MissingFactError: the power of a load is not stated.
    """
    return scope_of_all(given, (circuit,))


def scope_of_all(given: Given, circuits: Sequence[Circuit]) -> LoadScope | None:
    """Return the loads on the sides of several circuits away from the utility, None where it is on neither side of one or on both.

    Raises:
        MissingFactError: the power of a load is not stated.
    """
    nodes: set[str] = set()
    for circuit in circuits:
        sides = [side_in_mode(given.system, circuit, end, OperatingMode.WITH_UTILITY) for end in ("start", "finish")]
        away = [side for side in sides if not side.has_utility]
        if len(away) != 1:
            return None
        nodes |= set(away[0].nodes)
    return scope_on(given, nodes, f"the loads behind {' and '.join(circuit.tag for circuit in circuits)}")


def conductors_of_whole_a(given: Given, scope: LoadScope, enough_a: Value) -> Value | None:
    """Return the ampacity of the set of service or feeder conductors that carries all of ``scope``, A; None where none does.

    Of several behind each other the first that reaches ``enough_a`` is returned, else the largest.

    Raises:
        MissingFactError: none that is known reaches it, and what an ampacity rests on is not stated.
    """
    missing: list[str] = []
    found: list[Value] = []
    for circuit in given.system.circuits.values():
        if not _carries_all(given, circuit, scope):
            continue
        try:
            found.append(conductor_ampacity(given, circuit).final_a)
        except MissingFactError as open_fact:
            missing += open_fact.names
            continue
        if at_least(found[-1], enough_a):
            return found[-1]
    if missing:
        raise MissingFactError(*missing)
    return max(found, key=lambda value: value.number, default=None)


def _carries_all(given: Given, circuit: Circuit, scope: LoadScope) -> bool:
    """Whether a circuit carries every load of ``scope``, and of no further dwelling."""
    behind = None if circuit.is_dc else given.once(("scope of", circuit.tag), lambda: feeder_scope(given, circuit))
    if behind is None or behind.dwellings != scope.dwellings:
        return False
    return {load.tag for load in scope.loads} <= {load.tag for load in behind.loads}


def feeder_limit(given: Given, circuit: Circuit) -> Value:
    """Return the smallest of the devices through which just the feeder's current flows and the ampacity of its conductors, A.

    Raises:
        MissingFactError: the rating, or what the ampacity rests on, is not stated.
    """
    first = devices_protecting(given, circuit)[:1]
    others = [each for each in devices_in_series(given.system, circuit) if all(each.device is not found.device for found in first)]
    ratings = [protecting_rating(given, circuit)]
    ratings += [given.need(each.device.rating_a, f"rating of {each.tag}").named(f"OCPD_{each.tag}") for each in others]
    ampacity = conductor_ampacity(given, circuit).final_a
    return _smallest(*ratings, ampacity, symbol="I_feeder", title=f"capacity of {circuit.tag}", by="smallest of")
