"""A source's own disconnect on the supply side of the service is bonded, given the neutral and grounded like a service.

From 2020 the code says so; before, officials differ between that and a bonding jumper alone, and this program only advises.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Verdict, all_of, does_not_apply, require, require_at_least
from permitgen.rules.parts import parts_of
from permitgen.rules.quantities.conductor_area import area_of_size
from permitgen.rules.quantities.grounding_electrodes import conductor_stated
from permitgen.rules.quantities.grounding_service_area import area_of, electrode_conductor_for, jumper_for
from permitgen.rules.quantities.service_disconnects import circuits_landing_at, service_side
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.disconnect import Disconnect


@rule(
    "supply-side-source-bonding",
    title="A source's own disconnect on the supply side of the service is bonded, given the neutral and grounded like a service",
    provision="supply_side_connection",
    judges="disconnect",
)
def judge(item: Disconnect, given: Given) -> Judgement:
    """Judge bond, neutral and grounding electrode conductor of the disconnect of a supply-side source.

    Requires: main bonding jumper in the enclosure, supplied with it or sized by the tap conductors, the grounded conductor brought to
        it, a grounding electrode conductor sized by the tap conductors.
    Why: fault current from the utility reaches this enclosure without any device ahead of it.
    Applies to: the enclosure of a source's first disconnect on the supply side of the service.
    Example that fails: fused PV disconnect on a tap, two phase wires only, no bond.
    Example that passes: neutral brought along, bonded there, 8 AWG copper to the electrode system for a 6 AWG tap.
    """
    if item.tag not in {d.enclosure for d in service_side(given).of_sources}:
        return does_not_apply(f"{item.tag}: not the disconnect of a supply-side source")
    binding = given.in_force("supply_side_source_bonding")
    otherwise = Verdict.VIOLATED if binding else Verdict.CAUTION
    taps = circuits_landing_at(given, item.tag)
    bond = item.neutral_bond
    parts = [
        require(
            bond.state.is_bonded if bond is not None else None,
            f"{item.tag}: main bonding jumper {'installed' if bond is not None and bond.state.is_bonded else 'not installed'}",
            missing=f"neutral bond of {item.tag}",
            otherwise=otherwise,
        ),
        require(
            all(circuit.conductors.has_neutral for circuit in taps),
            f"{item.tag}: the grounded conductor is {'' if all(c.conductors.has_neutral for c in taps) else 'not '}brought to it",
            otherwise=otherwise,
        ),
        *parts_of(lambda: _jumper(item, given, taps, otherwise), lambda: _electrode_conductor(item, given, taps, otherwise)),
    ]
    judgement = all_of(f"{item.tag}: bonded, with neutral and grounding electrode conductor, like a service", parts)
    return judgement.under(given.provision("supply_side_source_bonding" if binding else "supply_side_bonding_jumper"))


def _jumper(item: Disconnect, given: Given, taps: tuple[Circuit, ...], otherwise: Verdict) -> Judgement | None:
    """The jumper came with the listed enclosure, or is a wire of the table's size for the tap conductors."""
    if item.neutral_bond is None or not item.neutral_bond.state.is_bonded or item.status == "existing":
        return None
    size = item.system_bonding_jumper_size
    if size is None:
        message = f"{item.tag}: main bonding jumper as supplied with the listed equipment"
        missing = f"main bonding jumper of {item.tag}: its size, or that it came with the equipment"
        return require(item.answer("system_bonding_jumper_supplied") or None, message, missing=missing)
    required = jumper_for(given, area_of(given, list(taps)), "copper")
    return require_at_least(
        f"{item.tag}: {size} copper main bonding jumper; {required} is required",
        computed=area_of_size(given, size, "A_MBJ", f"area of the main bonding jumper of {item.tag}, {size}"),
        limit=required.area_cmil,
        otherwise=otherwise,
    )


def _electrode_conductor(item: Disconnect, given: Given, taps: tuple[Circuit, ...], otherwise: Verdict) -> Judgement:
    size = item.electrode_conductor_size
    if size is None:
        message = f"{item.tag}: no grounding electrode conductor"
        missing = f"grounding electrode conductor of {item.tag}"
        return require(conductor_stated([item]), message, missing=missing, otherwise=otherwise)
    required = electrode_conductor_for(given, area_of(given, list(taps)), "copper")
    return require_at_least(
        f"{item.tag}: {size} copper grounding electrode conductor; {required} is required",
        computed=area_of_size(given, size, "A", f"area of the grounding electrode conductor of {item.tag}, {size}"),
        limit=area_of_size(given, required, "A_GEC", f"grounding electrode conductor for the tap, {required}"),
        otherwise=otherwise,
    )
