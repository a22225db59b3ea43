"""The overcurrent device by which an equipment grounding conductor is chosen, and which circuits the conductor serves."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.given import MissingFactError
from permitgen.rules.quantities.circuit_current import circuit_current, role
from permitgen.rules.quantities.feeding import exposures, limit_themselves
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.system.walks.in_series import devices_in_series
from permitgen.values.equation import selected
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.walks.feeds import Feed

# Circuits that carry only what photovoltaic modules and their inverters put out.
PV_ROLES = frozenset({CircuitRole.PV_DC, CircuitRole.INVERTER_OUTPUT})


def device_rating(given: Given, circuit: Circuit) -> Value:
    """Return the rating of the device ahead of one circuit, A; the largest of those that feed a fault from either end in any mode.

    A PV circuit without a device takes an assumed one: the next standard rating from 125 percent of its maximum current.

    Raises:
        MissingFactError: there is no device, or a rating is not stated.
    """
    return given.once_for_topology(("device of the grounding conductor", circuit.tag), lambda: _of_circuit(given, circuit))


def _of_circuit(given: Given, circuit: Circuit) -> Value:
    feeds = [feed for exposure in exposures(given, circuit) for feed in exposure.feeds.devices]
    devices = [feed.device for feed in feeds if _drives_a_fault(circuit, feed)]
    devices = devices or [installed.device for installed in devices_in_series(given.system, circuit)] or [feed.device for feed in feeds]
    if not devices:
        return _assumed(given, circuit)
    ratings = [given.need(device.rating_a, f"rating of the overcurrent device of {circuit.tag}") for device in devices]
    largest = max(ratings, key=lambda rating: rating.number)
    return largest.named("OCPD", f"overcurrent device of {circuit.tag}")


def _drives_a_fault(circuit: Circuit, feed: Feed) -> bool:
    """Sources that hold their own output open no device farther on, such as a panel's main behind its feeder; one at the end counts."""
    own = {f"{circuit.tag}.start", f"{circuit.tag}.finish"}
    return not limit_themselves(feed.sources) or bool(own & {feed.link.first, feed.link.second})


def _assumed(given: Given, circuit: Circuit) -> Value:
    if role(given, circuit) is not CircuitRole.PV_DC:
        raise MissingFactError(f"overcurrent device of {circuit.tag}")
    required = circuit_current(given, circuit).required_a
    rows = given.table("standard_overcurrent_ratings").rows_of("breakers and fuses")
    rating = next(float(row) for row in rows if float(row) >= required.number * (1 - 1e-9))
    provision = given.provision("pv_equipment_grounding_conductor_size")
    title = f"assumed overcurrent device of {circuit.tag}, which has none"
    return selected(rating, "a", by="next standard rating", inputs=(required,), symbol="OCPD", title=title, provision=provision)


def circuits_served(given: Given, circuit: Circuit) -> tuple[Circuit, ...]:
    """Return the circuits that the grounding conductor of ``circuit`` serves: itself and those that share it."""
    sharing = given.once_for_topology("circuits that share a grounding conductor", lambda: _sharing(given))
    return (circuit, *(given.system.circuits[tag] for tag in sharing.get(circuit.tag, ())))


def _sharing(given: Given) -> dict[str, list[str]]:
    """Return the tags of the circuits that share the grounding conductor of another, by the tag of that other."""
    found: dict[str, list[str]] = {}
    for circuit in given.system.circuits.values():
        if circuit.conductors.egc_shared_with:
            found.setdefault(circuit.conductors.egc_shared_with, []).append(circuit.tag)
    return found


def governing_device_rating(given: Given, circuit: Circuit) -> Value:
    """Return the largest device among the circuits that the grounding conductor of ``circuit`` serves, A.

    Raises:
        MissingFactError: one of them has no device, or its rating is not stated.
    """
    return given.once_for_topology(("governing device of the grounding conductor", circuit.tag), lambda: _governing(given, circuit))


def _governing(given: Given, circuit: Circuit) -> Value:
    ratings = [device_rating(given, served) for served in circuits_served(given, circuit)]
    largest = max(ratings, key=lambda rating: rating.number)
    if len(ratings) == 1:
        return largest
    return selected(
        largest.number,
        "a",
        by="largest of",
        inputs=tuple(ratings),
        symbol="OCPD",
        title=f"largest device of the circuits that share the grounding conductor of {circuit.tag}",
        provision=given.provision("equipment_grounding_conductor_shared"),
    )
