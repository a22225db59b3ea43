"""A system whose neutral is cut off from the utility's has a conductor of its own to the building's electrodes.

That is the case of a generator behind a transfer switch that opens the neutral; where the neutral stays whole, the service's
electrode serves.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require, require_at_least
from permitgen.rules.parts import parts_for
from permitgen.rules.quantities.conductor_area import area_of_size
from permitgen.rules.quantities.grounding_bonds import carries_neutral
from permitgen.rules.quantities.grounding_electrodes import conductor_stated
from permitgen.rules.quantities.grounding_service_area import area_of, electrode_conductor_for
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.subjects import NeutralSubject
    from permitgen.system.equipment.equipment import Equipment


@rule(
    "separately-derived-electrode",
    title="A system whose neutral is cut off from the utility's has a conductor of its own to the building's electrodes",
    provision="separately_derived_electrode",
    judges="neutral",
)
def judge(subject: NeutralSubject, given: Given) -> Judgement:
    """Judge the grounding electrode conductor of each generator on a neutral of its own.

    Requires: a grounding electrode conductor at the generator or where it is bonded, sized by the generator's conductors.
    Why: a neutral tied to earth nowhere drifts, and surges find no way out.
    Applies to: permanently installed generators whose neutral the transfer equipment opens.
    Example that fails: generator with its own bond behind a three-pole transfer switch, no conductor to an electrode.
    Example that passes: 8 AWG copper to the building's electrodes, generator conductors of 6 AWG copper.
    """
    network = subject.network
    if network.has_utility or not carries_neutral(given, network):
        return does_not_apply(f"{subject.tag}: not a neutral of its own")
    machines = [given.system.equipment[s.tag] for s in given.system.sources.values() if s.kind == "generator" and s.node in network.nodes]
    fixed = [machine for machine in machines if not getattr(machine, "is_portable", False)]
    if not fixed:
        return does_not_apply(f"{subject.tag}: no permanently installed generator forms it")
    parts = parts_for(fixed, lambda machine: _conductor(machine, network.bonded, given))
    return all_of(f"{subject.tag}: connected to the electrode system", parts)


def _conductor(machine: Equipment, bonded: tuple[str, ...], given: Given) -> Judgement:
    places = [machine, *(given.system.equipment[tag] for tag in bonded if tag != machine.tag)]
    sizes = [place.electrode_conductor_size for place in places if place.electrode_conductor_size is not None]
    if not sizes:
        message = f"{machine.tag}: no grounding electrode conductor there, nor where its neutral is bonded"
        return require(conductor_stated(places), message, missing=f"grounding electrode conductor of {machine.tag}")
    size = max(sizes)
    circuits = [given.system.circuits[tag] for tag in given.system.circuits_at.get(machine.tag, ())]
    power = [circuit for circuit in circuits if not circuit.is_dc]
    required = electrode_conductor_for(given, area_of(given, power), "copper")
    return require_at_least(
        f"{machine.tag}: {size} copper grounding electrode conductor; {required} is required",
        computed=area_of_size(given, size, "A", f"area of the grounding electrode conductor of {machine.tag}, {size}"),
        limit=area_of_size(given, required, "A_GEC", f"grounding electrode conductor for {machine.tag}, {required}"),
    )
