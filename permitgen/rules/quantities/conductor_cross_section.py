"""Cross sections and diameters of conductors and cables, for raceways, boxes and wiring spaces."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.code.equations.raceway_fill import conductor_group_area_in2, pv_wire_diameter_in, round_area_in2
from permitgen.rules.quantities.circuit_current import role
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.control_circuit import ControlCircuit
    from permitgen.values.conductor_size import ConductorSize

PV_WIRE = "PV wire"
PER_LOOP = 2
"""Conductors of a control circuit, out and back."""


@dataclass(frozen=True, slots=True)
class ConductorGroup:
    """Equal conductors (or one cable): how many they count as, their area together, the diameter of one where it is known.

    ``is_estimate`` says that the diameter was estimated.
    """

    name: str
    count: int
    area_in2: Value
    diameter_in: Value | None = None
    is_estimate: bool = False


def groups_of_circuit(given: Given, circuit: Circuit, sets: int) -> list[ConductorGroup]:
    """Return the conductors of so many sets of a circuit, each kind once: ungrounded, neutral, equipment grounding.

    Raises:
        MissingFactError: a size or the insulation is not stated.
        NotInTableError: the tables have no dimensions for the insulation and size.
    """
    conductors = circuit.conductors
    if conductors.cable_diameter_in is not None:
        area = round_area_in2.derive(diameter_in=conductors.cable_diameter_in, provision=given.provision("multiconductor_cable_fill"))
        return _cables(circuit.tag, sets, area, conductors.cable_diameter_in)
    size = given.need(conductors.size, f"conductor size of {circuit.tag}")
    insulation = given.need(conductors.insulation or None, f"insulation of {circuit.tag}")
    stated = conductors.outside_diameter_in
    found = [_group(given, circuit.tag, insulation, size, conductors.ungrounded_count * sets, stated)]
    if conductors.has_neutral:
        found.append(_group(given, f"{circuit.tag} neutral", insulation, conductors.neutral_size or size, sets, stated))
    found += _grounding(given, circuit, insulation, sets)
    return found


def _cables(name: str, sets: int, area: Value, diameter_in: Value) -> list[ConductorGroup]:
    """One cable for each set: a cable holds all conductors of its set and no more."""
    if sets == 1:
        return [ConductorGroup(name, 1, area.named(f"A_{name}"), diameter_in)]
    count = Value(float(sets), "count", FromSystem(f"parallel sets of {name}"), "n", f"cables of {name}")
    together = conductor_group_area_in2.derive(conductors_count=count, each_in2=area, symbol=f"A_{name}", title=f"{sets} cables of {name}")
    return [ConductorGroup(name, sets, together, diameter_in)]


def _grounding(given: Given, circuit: Circuit, insulation: str, sets: int) -> list[ConductorGroup]:
    conductors = circuit.conductors
    if not conductors.has_wire_egc or conductors.egc_shared_with:
        return []
    if conductors.egc_size is None and role(given, circuit) is CircuitRole.SERVICE:
        return []
    egc_size = given.need(conductors.egc_size, f"equipment grounding conductor size of {circuit.tag}")
    name = f"{circuit.tag} equipment ground"
    if conductors.has_bare_egc:
        each = given.table("conductor_properties").at(("stranded", egc_size), "bare_area").named("a")
        return [_of_area(name, egc_size, sets, each)]
    covering = "THWN-2" if insulation.casefold() == PV_WIRE.casefold() else insulation
    return [_group(given, name, covering, egc_size, sets, None)]


def groups_of_control(given: Given, control: ControlCircuit) -> list[ConductorGroup]:
    """Return the two conductors of a control circuit, or its cable.

    Raises:
        MissingFactError: size or insulation is not stated.
    """
    if control.cable_diameter_in is not None:
        area = round_area_in2.derive(diameter_in=control.cable_diameter_in, provision=given.provision("multiconductor_cable_fill"))
        return [ConductorGroup(control.tag, 1, area.named(f"A_{control.tag}"), control.cable_diameter_in)]
    size = given.need(control.size, f"conductor size of {control.tag}")
    insulation = given.need(control.insulation or None, f"insulation of {control.tag}")
    return [_group(given, control.tag, insulation, size, PER_LOOP, None)]


def _group(given: Given, name: str, insulation: str, size: ConductorSize, number: int, diameter_in: Value | None) -> ConductorGroup:
    if diameter_in is not None:
        each = round_area_in2.derive(diameter_in=diameter_in.named("d"), symbol="a", title=f"area of one conductor of {name}")
        return _of_area(name, size, number, each, diameter_in)
    if insulation.casefold() == PV_WIRE.casefold():
        estimate = _estimated_diameter(given, size)
        each = round_area_in2.derive(diameter_in=estimate, symbol="a", title=f"area of one conductor of {name}, estimated")
        return _of_area(name, size, number, each, estimate, is_estimate=True)
    rows = given.table("insulation_dimension_group").text_at(insulation.upper(), "dimensions_of").text
    dimensions = given.table("conductor_dimensions")
    return _of_area(name, size, number, dimensions.at((rows, size), "area").named("a"), dimensions.at((rows, size), "diameter").named("d"))


def _estimated_diameter(given: Given, size: ConductorSize) -> Value:
    provision = given.provision("pv_wire_diameter_estimate")
    return pv_wire_diameter_in.derive(
        bare_diameter_in=given.table("conductor_properties").at(("stranded", size), "diameter"),
        wall_in=given.table("pv_wire_insulation_wall").at(size, "wall"),
        tolerance_factor=provision.value("tolerance_factor"),
        provision=provision,
    )


def _of_area(
    name: str, size: ConductorSize, number: int, each: Value, diameter_in: Value | None = None, *, is_estimate: bool = False
) -> ConductorGroup:
    count = Value(float(number), "count", FromSystem(f"conductors of {name}"), "n", f"{size} conductors of {name}")
    area = conductor_group_area_in2.derive(
        conductors_count=count, each_in2=each, symbol=f"A_{name.replace(' ', '_')}", title=f"{number} × {size} of {name}"
    )
    return ConductorGroup(name, number, area, diameter_in, is_estimate)
