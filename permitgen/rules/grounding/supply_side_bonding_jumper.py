"""A bonding wire that runs with service conductors is sized by them, not by an overcurrent device.

Each set has its own jumper by its own conductors, and so has the bushing of each raceway by those that lie in it. A wire with the
conductors of a separately derived generator, up to the first device that is not part of it, is of the same kind.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.rules.grounding.load_side_bonding_jumper import WITH_JUMPER
from permitgen.rules.judgement import Judgement, does_not_apply, one_or_all_of, require_at_least
from permitgen.rules.larger_conductor import with_grounding
from permitgen.rules.parts import parts_for
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.quantities.conductor_area import area_of_size
from permitgen.rules.quantities.grounding_service_area import area_of, jumper_for
from permitgen.rules.quantities.service_wiring import service_circuits_in
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.raceway import Raceway
    from permitgen.values.conductor_size import ConductorSize


@rule(
    "supply-side-bonding-jumper",
    title="A bonding wire that runs with service conductors is sized by them, not by an overcurrent device",
    provision="supply_side_bonding_jumper",
    judges="circuit",
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the bonding wire of a circuit that nothing on the premises protects.

    Requires: area of the jumper ≥ the bonding-jumper table's for the ungrounded conductors of its set, or in the raceway of its bushing.
    Why: ahead of the service disconnect only the utility's fuse limits the fault it carries.
    Applies to: service conductors with which a bonding wire runs, or whose metal raceway a bushing with a jumper bonds.
    Example that fails: 6 AWG copper jumper with 4/0 AWG copper service conductors; 2 AWG is required.
    Example that passes: 2 AWG copper jumper, the same conductors.
    """
    runs = [given.system.raceways[tag] for tag in circuit.runs]
    bushings = [run for run in runs if run.is_metal and run.bonding == WITH_JUMPER]
    size = circuit.conductors.egc_size
    if role(given, circuit) is not CircuitRole.SERVICE or (size is None and not bushings):
        return does_not_apply(f"{circuit.tag}: no bonding wire with service conductors")
    parts = parts_for(bushings, lambda run: _at_bushing(circuit, run, given))
    if size is not None:
        parts = [_along(circuit, size, given), *parts]
    return one_or_all_of(f"{circuit.tag}: supply-side bonding jumpers suit their conductors", parts)


def _along(circuit: Circuit, size: ConductorSize, given: Given) -> Judgement:
    own = replace(circuit, conductors=replace(circuit.conductors, sets=1))
    required = jumper_for(given, area_of(given, [own]), circuit.conductors.egc_material)
    return require_at_least(
        f"{circuit.tag}: {size} {circuit.conductors.egc_material} supply-side bonding jumper; {required} is required",
        computed=area_of_size(given, size, "A_SSBJ", f"area of the supply-side bonding jumper, {size}"),
        limit=required.area_cmil,
        remedies=(with_grounding(circuit, required.size, "bonding jumper"),) if required.size is not None else (),
    )


def _at_bushing(circuit: Circuit, run: Raceway, given: Given) -> Judgement:
    """Judge the jumper of a bushing by all service conductors in its raceway."""
    size = given.need(run.bonding_jumper_size, f"bonding jumper of {run.tag}")
    inside = [replace(each, conductors=replace(each.conductors, sets=each.sets_in(run.tag))) for each in service_circuits_in(given, run)]
    required = jumper_for(given, area_of(given, inside), "copper")
    return require_at_least(
        f"{circuit.tag}: {size} copper bonding jumper at the bushing of {run.tag}; {required} is required",
        computed=area_of_size(given, size, "A_SSBJ", f"area of the bonding jumper of {run.tag}, {size}"),
        limit=required.area_cmil,
    )
