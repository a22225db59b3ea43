"""Where conductors are larger than needed, the equipment grounding conductor grows in the same proportion.

What is needed is the smallest size that every rule about current accepts with the real device, factors and terminals, so an
increase that correction factors ask for is no increase. Areas are compared as the table prints them, without rounding.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Remedy, Verdict, does_not_apply, require_at_least
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.quantities.conductor_area import area_of_size
from permitgen.rules.quantities.grounding_conductor_device import PV_ROLES
from permitgen.rules.quantities.grounding_conductor_size import grounding_conductor_owner, grown_in_proportion
from permitgen.rules.quantities.smallest_sufficient_size import smallest_sufficient_size
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole

if TYPE_CHECKING:
    from permitgen.code.provision import Provision
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.system import System
    from permitgen.values.conductor_size import ConductorSize


@rule(
    "equipment-grounding-conductor-increase",
    title="Where conductors are larger than needed, the equipment grounding conductor grows in the same proportion",
    provision="equipment_grounding_conductor_increase",
    judges="circuit",
    sizes=("equipment grounding conductor",),
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the grounding conductor against the table's area × installed area ÷ needed area.

    Requires: area of the grounding conductor ≥ table area × installed ÷ smallest sufficient area, never above the circuit conductors.
    Why: larger conductors let through a larger fault current, which a small grounding conductor may not survive.
    Applies to: circuits whose conductors are larger than needed; not where a raceway is the grounding conductor, and not to PV
        system circuits enlarged against voltage drop.
    Example that fails: 60 A circuit, 6 AWG enlarged to 2 AWG with a 6 AWG grounding conductor: 26 250 cmil needed, 26 240 there.
    Example that passes: the same with 4 AWG.
    """
    reason = _not_concerned(circuit, given)
    if reason:
        return does_not_apply(f"{circuit.tag}: {reason}")
    required = grown_in_proportion(given, circuit)
    if required is None:
        return does_not_apply(f"{circuit.tag}: its conductors are no larger than its current and device need")
    owner = grounding_conductor_owner(given, circuit)
    size = given.need(owner.conductors.egc_size, f"equipment grounding conductor size of {owner.tag}")
    needed = smallest_sufficient_size(given, circuit)
    qualified = given.system.jurisdiction.option("grounding_conductor_sized_by", "")
    excepted = bool(qualified) and _excepts_qualified_person(given.provision("equipment_grounding_conductor_increase"))
    return require_at_least(
        f"{circuit.tag}: {circuit.conductors.size} where {needed} suffices; its grounding conductor grows to {required.size},"
        f" {size} is there" + (f", sized by {qualified}" if excepted else ""),
        computed=area_of_size(given, size, "A_EGC", f"area of the grounding conductor, {size}"),
        limit=required.area_cmil,
        otherwise=Verdict.CAUTION if excepted else Verdict.VIOLATED,
        remedies=(_with_grounding(owner, required.size), *_with_needed(circuit, needed)),
        places=tuple(at for at in (owner.conductors.egc_at, circuit.conductors.size_at) if at),
    )


def _not_concerned(circuit: Circuit, given: Given) -> str:
    role_ = role(given, circuit)
    if role_ is CircuitRole.SERVICE:
        return "service conductors have no equipment grounding conductor"
    if not circuit.conductors.has_wire_egc:
        return "a metal raceway is the equipment grounding conductor"
    if role_ in PV_ROLES and circuit.reason_for_increase in ("", "voltage drop"):
        return "for PV system circuits the grounding conductor need not grow with conductors enlarged against voltage drop"
    return ""


def _excepts_qualified_person(provision: Provision) -> bool:
    return provision.flag("qualified_person_exception")


def _with_grounding(circuit: Circuit, size: ConductorSize) -> Remedy:
    def change(system: System) -> System:
        return system.with_sizes_of(replace(circuit, conductors=replace(circuit.conductors, egc_size=size)))

    return Remedy(f"{size} {circuit.conductors.egc_material} grounding conductor for {circuit.tag}", change)


def _with_needed(circuit: Circuit, needed: ConductorSize) -> tuple[Remedy, ...]:
    def change(system: System) -> System:
        return system.with_sizes_of(replace(circuit, conductors=replace(circuit.conductors, size=needed)))

    return (Remedy(f"{needed} {circuit.conductors.material} conductors for {circuit.tag}", change),)
