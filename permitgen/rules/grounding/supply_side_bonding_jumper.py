"""A bonding wire that runs with service conductors is sized by them, not by an overcurrent device.

Each set has its own jumper by its own conductors. A wire with the conductors of a separately derived generator, up to the first
device that is not part of it, is of the same kind.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Remedy, does_not_apply, require_at_least
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.quantities.conductor_area import area_of_size
from permitgen.rules.quantities.grounding_service_area import area_of, jumper_for
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.system import System
    from permitgen.values.conductor_size import ConductorSize


@rule(
    "supply-side-bonding-jumper",
    title="A bonding wire that runs with service conductors is sized by them, not by an overcurrent device",
    provision="supply_side_bonding_jumper",
    judges="circuit",
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the bonding wire of a circuit that nothing on the premises protects.

    Requires: area of the jumper ≥ the bonding-jumper table's for the ungrounded conductors of its set.
    Why: ahead of the service disconnect only the utility's fuse limits the fault it carries.
    Applies to: service conductors with which a bonding wire runs.
    Example that fails: 6 AWG copper jumper with 4/0 AWG copper service conductors; 2 AWG is required.
    Example that passes: 2 AWG copper jumper, the same conductors.
    """
    size = circuit.conductors.egc_size
    if role(given, circuit) is not CircuitRole.SERVICE or size is None:
        return does_not_apply(f"{circuit.tag}: no bonding wire with service conductors")
    own = replace(circuit, conductors=replace(circuit.conductors, sets=1))
    required = jumper_for(given, area_of(given, [own]), circuit.conductors.egc_material)
    return require_at_least(
        f"{circuit.tag}: {size} {circuit.conductors.egc_material} supply-side bonding jumper; {required} is required",
        computed=area_of_size(given, size, "A_SSBJ", f"area of the supply-side bonding jumper, {size}"),
        limit=required.area_cmil,
        remedies=(_with_jumper(circuit, required.size),) if required.size is not None else (),
    )


def _with_jumper(circuit: Circuit, size: ConductorSize) -> Remedy:
    def change(system: System) -> System:
        return system.with_sizes_of(replace(circuit, conductors=replace(circuit.conductors, egc_size=size)))

    return Remedy(f"{size} {circuit.conductors.egc_material} bonding jumper for {circuit.tag}", change)
