"""How large an equipment grounding conductor must be: by the device, capped by the circuit conductors, grown in proportion."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.code.equations.bonding import proportional_grounding_area_cmil
from permitgen.rules.judgement import at_least
from permitgen.rules.quantities.conductor_area import area_of_gauge, area_of_size
from permitgen.rules.quantities.grounding_conductor_device import circuits_served, governing_device_rating
from permitgen.rules.quantities.smallest_sufficient_size import smallest_sufficient_size
from permitgen.values.conductor_size import ALL_SIZES, ConductorSize
from permitgen.values.equation import selected
from permitgen.values.origin import TableCell
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit


@dataclass(frozen=True, slots=True)
class RequiredGroundingConductor:
    """``size`` is the smallest standard size with at least ``area_cmil``."""

    size: ConductorSize
    area_cmil: Value
    rating_a: Value


def grounding_conductor_owner(given: Given, circuit: Circuit) -> Circuit:
    """Return the circuit whose grounding conductor serves ``circuit``."""
    shared = circuit.conductors.egc_shared_with
    return given.system.circuits.get(shared, circuit) if shared else circuit


def by_device(given: Given, circuit: Circuit) -> RequiredGroundingConductor:
    """Return what the table asks for the largest device, not more than the size of the circuit conductors.

    Raises:
        MissingFactError: a device's rating or the conductor size is not stated.
    """
    rating = governing_device_rating(given, circuit)
    cell = given.table("equipment_grounding_conductor").band_text(rating.number, circuit.conductors.egc_material)
    size = ConductorSize(cell.text)
    by = cell.origin.number if isinstance(cell.origin, TableCell) else "table"
    area = _selected_area(given, size, by, (rating,), f"grounding conductor for {rating.figure} A, {size}")
    largest = _largest_circuit_conductor(given, circuit)
    if circuit.conductors.sets > 1 or largest >= size:
        return RequiredGroundingConductor(size, area, rating)
    cap = area_of_size(given, largest, "A_circuit", f"area of the circuit conductors, {largest}")
    title = f"grounding conductor no larger than the circuit conductors, {largest}"
    return RequiredGroundingConductor(largest, _smaller(given, area, cap, title), rating)


def _largest_circuit_conductor(given: Given, circuit: Circuit) -> ConductorSize:
    return max(given.need(c.conductors.size, f"conductor size of {c.tag}") for c in circuits_served(given, circuit))


def _selected_area(given: Given, size: ConductorSize, by: str, inputs: tuple[Value, ...], title: str) -> Value:
    area = area_of_size(given, size)
    provision = given.provision("equipment_grounding_conductor_size")
    return selected(area.number, "cmil", by=by, inputs=inputs, symbol="A_table", title=title, provision=provision)


def _smaller(given: Given, area: Value, cap: Value, title: str) -> Value:
    provision = given.provision("equipment_grounding_conductor_size")
    number = min(area.number, cap.number)
    return selected(number, "cmil", by="smaller of", inputs=(area, cap), symbol="A_EGC", title=title, provision=provision)


def grown_in_proportion(given: Given, circuit: Circuit, *, without: str = "") -> RequiredGroundingConductor | None:
    """Return what is required because the conductors are larger than needed; None where they are not.

    ``without`` is the provision of a method that does not count in what is needed.

    Raises:
        MissingFactError: a size or a fact that the smallest sufficient size rests on is not stated.
    """
    installed = given.need(circuit.conductors.size, f"conductor size of {circuit.tag}")
    needed = smallest_sufficient_size(given, circuit, without=without)
    if needed >= installed:
        return None
    base = by_device(given, circuit)
    grown = proportional_grounding_area_cmil.derive(
        table_area_cmil=area_of_gauge(base.size, "A_table", f"area of the grounding conductor for {base.rating_a.figure} A, {base.size}"),
        installed_area_cmil=area_of_gauge(installed, "A_inst", f"area of the installed conductors, {installed}"),
        needed_area_cmil=area_of_gauge(needed, "A_min", f"area of the smallest sufficient conductors, {needed}"),
        provision=given.provision("equipment_grounding_conductor_increase"),
    )
    cap = area_of_gauge(installed, "A_circuit", f"area of the circuit conductors, {installed}")
    if cap.number < grown.number:
        grown = _smaller(given, grown, cap, f"grounding conductor no larger than the circuit conductors, {installed}")
    return RequiredGroundingConductor(_size_with(grown), grown, base.rating_a)


def _size_with(area: Value) -> ConductorSize:
    """Return the smallest size whose area by the gauge is not below ``area``."""
    sufficient = (size for size in ALL_SIZES if at_least(area_of_gauge(size, "A", f"area of {size}"), area))
    return next(sufficient, ALL_SIZES[-1])
