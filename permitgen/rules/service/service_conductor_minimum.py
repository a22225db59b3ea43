"""Service conductors are not smaller than the code's smallest, whatever they carry."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Remedy, does_not_apply, require_at_least
from permitgen.rules.larger_conductor import with_conductors
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.quantities.conductor_area import area_of_size
from permitgen.rules.quantities.service_disconnects import service_side
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.values.conductor_size import ConductorSize

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit


@rule(
    "service-conductor-minimum",
    title="Service conductors are not smaller than the code's smallest, whatever they carry",
    provision="service_conductor_minimum",
    judges="circuit",
    sizes=("conductor",),
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the size of service conductors, and of those to a source on the supply side.

    Requires: 8 AWG copper or 6 AWG aluminum; from 2020, 6 AWG copper or 4 AWG aluminum to a supply-side source.
    Why: nothing but the utility's fuse protects them from a fault.
    Applies to: service conductors.
    Example that fails: 8 AWG copper from the service to the disconnect of a PV system, NEC 2020.
    Example that passes: 6 AWG copper at the same place.
    """
    if role(given, circuit) is not CircuitRole.SERVICE:
        return does_not_apply(f"{circuit.tag}: not service conductors")
    to_source = {d.enclosure for d in service_side(given).of_sources} & {circuit.start.tag, circuit.finish.tag}
    by_source = bool(to_source) and given.in_force("supply_side_conductor_size")
    provision = given.provision("supply_side_conductor_size" if by_source else "service_conductor_minimum")
    material = circuit.conductors.material
    smallest = ConductorSize(provision.text(f"smallest_{material}_size"))
    size = given.need(circuit.conductors.size, f"conductor size of {circuit.tag}")
    what = "conductors of a supply-side source" if by_source else "service conductors"
    return require_at_least(
        f"{circuit.tag}: {size} {material}; {what} are {smallest} or larger",
        computed=area_of_size(given, size),
        limit=area_of_size(given, smallest, "A_min", f"smallest {what}, {smallest}"),
        remedies=(_with_size(circuit, smallest),),
        places=(circuit.conductors.size_at,) if circuit.conductors.size_at else (),
    ).under(provision)


def _with_size(circuit: Circuit, size: ConductorSize) -> Remedy:
    return with_conductors(circuit, replace(circuit.conductors, size=size), f"{size} {circuit.conductors.material} for {circuit.tag}")
