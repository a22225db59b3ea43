"""The area of the service conductors by which grounding electrode conductors and bonding jumpers are chosen."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.code.equations.bonding import area_of_kcmil_cmil, jumper_area_kcmil
from permitgen.code.errors import NotInTableError
from permitgen.rules.given import MissingFactError
from permitgen.rules.quantities.conductor_area import area_of_sets, area_of_size
from permitgen.rules.quantities.service_disconnects import circuits_landing_at, service_circuits, service_side
from permitgen.values.conductor_size import ConductorSize
from permitgen.values.equation import selected, sum_of
from permitgen.values.origin import TableCell

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True)
class ServiceArea:
    """Area of the largest ungrounded service conductor, or of parallel ones together, and its material.

    ``size`` is that of a single conductor; None where several count together, which have an area and no size.
    """

    area_kcmil: Value
    material: str
    size: ConductorSize | None = None

    def __str__(self) -> str:
        return f"{self.size or f'{self.area_kcmil.figure} kcmil'} {self.material}"


@dataclass(frozen=True, slots=True)
class RequiredJumper:
    """Smallest bonding conductor; ``size`` is None beyond the table, where only the area counts."""

    size: ConductorSize | None
    area_cmil: Value

    def __str__(self) -> str:
        return str(self.size) if self.size is not None else f"{self.area_cmil.number:.0f} cmil"


def service_area(given: Given) -> ServiceArea:
    """Return the area for the whole service: the conductors from the service point together, or the largest that end at a disconnect.

    Raises:
        MissingFactError: there are no service conductors in the project, or a size is not stated.
    """
    return given.once("service area", lambda: _whole_service(given))


def _whole_service(given: Given) -> ServiceArea:
    circuits = service_circuits(given)
    if not circuits:
        raise MissingFactError("service conductors")
    utility = {node.split(".", maxsplit=1)[0] for node in given.system.utility_nodes}
    first = [circuit for circuit in circuits if utility & {circuit.start.tag, circuit.finish.tag}]
    candidates = [area_of(given, [circuit]) for tag in service_side(given).enclosures for circuit in circuits_landing_at(given, tag)]
    if first:
        candidates.append(area_of(given, first))
    if not candidates:
        candidates = [area_of(given, [circuit]) for circuit in circuits]
    # Aluminum and copper may meet at a meter: what the table asks for decides, not the bare area.
    return max(candidates, key=lambda found: (electrode_conductor_for(given, found, "copper"), found.area_kcmil.number))


def area_at(given: Given, enclosure: str) -> ServiceArea:
    """Return the area of the largest service conductors that end in one enclosure.

    Raises:
        MissingFactError: none is in the project, or a size is not stated.
    """
    found = [area_of(given, [circuit]) for circuit in circuits_landing_at(given, enclosure)]
    if not found:
        raise MissingFactError(f"service conductors that end at {enclosure}")
    return max(found, key=lambda each: (electrode_conductor_for(given, each, "copper"), each.area_kcmil.number))


def area_together(given: Given, enclosures: Sequence[str]) -> ServiceArea:
    """Return the area of the largest conductors of each set that ends in one of several enclosures, together.

    Raises:
        MissingFactError: as for ``area_at``; or the sets are of different materials.
    """
    found = [area_at(given, tag) for tag in enclosures]
    if len({each.material for each in found}) != 1:
        raise MissingFactError("one material of the service conductors that end at the service disconnects")
    areas = [each.area_kcmil for each in found]
    return ServiceArea(sum_of(areas, symbol="A_service", title="service conductors of the disconnects, together"), found[0].material)


def area_of(given: Given, circuits: list[Circuit]) -> ServiceArea:
    """Return the area of several service conductors that start at one place, together.

    Raises:
        MissingFactError: a size is not stated, or their materials differ.
    """
    materials = {circuit.conductors.material for circuit in circuits}
    if len(materials) != 1:
        raise MissingFactError("one material of the service conductors that start together")
    areas = [area_of_sets(given, circuit).named(f"A_{circuit.tag}") for circuit in circuits]
    if len(areas) == 1:
        conductors = circuits[0].conductors
        return ServiceArea(areas[0], materials.pop(), conductors.size if conductors.sets == 1 else None)
    return ServiceArea(
        sum_of(areas, symbol="A_service", title="service conductors that start at the service point, together"), materials.pop()
    )


def electrode_conductor_for(given: Given, service: ServiceArea, material: str) -> ConductorSize:
    """Return the grounding electrode conductor that the table asks for."""
    cell = given.table("grounding_electrode_conductor").band_text(service.area_kcmil.number, material, service.material)
    return ConductorSize(cell.text)


def jumper_for(given: Given, service: ServiceArea, material: str) -> RequiredJumper:
    """Return the main, system or supply-side bonding jumper, and the smallest grounded conductor, for ungrounded conductors.

    Beyond the table it has 12.5 percent of their area; where the materials differ, the ungrounded conductors are taken to be of
    the jumper's material with the same ampacity, which is left to the designer.
    """
    table = given.table("bonding_jumper")
    try:
        cell = table.band_text(service.area_kcmil.number, material, service.material)
    except NotInTableError:
        return _beyond_table(given, service, material)
    size = ConductorSize(cell.text)
    by = cell.origin.number if isinstance(cell.origin, TableCell) else table.number
    title = f"bonding conductor for {service}, {size} {material}"
    area = selected(area_of_size(given, size).number, "cmil", by=by, inputs=(service.area_kcmil,), symbol="A_table", title=title)
    return RequiredJumper(size, area)


def _beyond_table(given: Given, service: ServiceArea, material: str) -> RequiredJumper:
    if material != service.material:
        raise MissingFactError("bonding jumper of the same material as the service conductors")
    provision = given.provision("bonding_jumper_above_table")
    area = jumper_area_kcmil.derive(
        area_factor=provision.value("area_factor"), ungrounded_area_kcmil=service.area_kcmil, provision=provision
    )
    return RequiredJumper(None, area_of_kcmil_cmil.derive(area_kcmil=area))
