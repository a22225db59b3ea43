"""The jumper that bonds the neutral of a separately derived system is sized by its conductors, or came with the listed equipment."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require, require_at_least
from permitgen.rules.parts import parts_for
from permitgen.rules.quantities.conductor_area import area_of_size
from permitgen.rules.quantities.grounding_bonds import carries_neutral, forms_neutral
from permitgen.rules.quantities.grounding_service_area import area_of, jumper_for
from permitgen.rules.rule import rule
from permitgen.system.equipment.microgrid_interconnect_device import MicrogridInterconnectDevice
from permitgen.system.neutral_bond import BondState

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.subjects import NeutralSubject
    from permitgen.system.circuit import Circuit


@rule(
    "system-bonding-jumper",
    title="The jumper that bonds the neutral of a separately derived system is sized by its conductors, or came with the listed equipment",
    provision="system_bonding_jumper",
    judges="neutral",
)
def judge(subject: NeutralSubject, given: Given) -> Judgement:
    """Judge the jumper of each enclosure that bonds a neutral of its own.

    Requires: a jumper supplied with the listed equipment, or a wire with at least the bonding-jumper table's area.
    Why: every ground fault current of the source returns through it.
    Applies to: neutrals cut off from the utility's, where they are bonded.
    Example that fails: 10 AWG copper jumper in a generator with conductors of 6 AWG copper; 8 AWG is required.
    Example that passes: 8 AWG copper jumper in the same generator.
    """
    network = subject.network
    if network.has_utility or not network.bonded or not carries_neutral(given, network) or not forms_neutral(given, network):
        return does_not_apply(f"{subject.tag}: no bonded neutral of its own")
    return all_of(f"{subject.tag}: system bonding jumper", parts_for(network.bonded, lambda tag: _at(given, tag)))


def _at(given: Given, tag: str) -> Judgement:
    item = given.system.equipment[tag]
    bond = item.island_bond if isinstance(item, MicrogridInterconnectDevice) and item.island_bond is not None else item.neutral_bond
    if bond is not None and bond.state in (BondState.FACTORY_FIXED, BondState.AUTOMATIC):
        return require(fact=True, message=f"{tag}: system bonding jumper as supplied with the listed equipment")
    size = item.system_bonding_jumper_size
    if size is None:
        supplied = item.answer("system_bonding_jumper_supplied")
        return require(
            True if supplied else None,
            f"{tag}: system bonding jumper as supplied with the listed equipment",
            missing=f"system bonding jumper of {tag}: its size, or that it came with the equipment",
        )
    required = jumper_for(given, area_of(given, _derived_conductors(given, tag)), "copper")
    return require_at_least(
        f"{tag}: {size} copper system bonding jumper; {required} is required",
        computed=area_of_size(given, size, "A_SBJ", f"area of the system bonding jumper of {tag}, {size}"),
        limit=required.area_cmil,
    )


def _derived_conductors(given: Given, tag: str) -> list[Circuit]:
    """The conductors with a neutral that the source sends out: those of the machine, else the largest at the enclosure."""
    circuits = [given.system.circuits[other] for other in given.system.circuits_at.get(tag, ())]
    circuits = [circuit for circuit in circuits if circuit.conductors.has_neutral and not circuit.is_dc]
    sizes = [(given.need(circuit.conductors.size, f"conductor size of {circuit.tag}"), circuit.tag) for circuit in circuits]
    largest = given.need(max(sizes, default=None), f"conductors of the system bonded at {tag}")
    return [given.system.circuits[largest[1]]]
