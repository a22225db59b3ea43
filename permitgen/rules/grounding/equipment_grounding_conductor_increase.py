"""Where conductors are larger than needed, the equipment grounding conductor grows in the same proportion.

What is needed is the smallest size that every rule about current accepts with the real device, factors and terminals, so an
increase that correction factors ask for is no increase. Areas are those of the wire gauge itself (ASTM B258): the table of conductor
properties prints them rounded, and a proportion of printed areas misses by a circular mil what is equal.

The section on PV circuits waives the increase where they were enlarged against voltage drop. A file that gives no reason is not
waived. Whether the waiver reaches the ac output of an inverter is disputed: there both answers are shown. So is whether the smaller
conductors that are permitted to the service or feeder of a whole dwelling have sufficient ampacity: a size that somebody wrote down is then
a point to confirm; one that the program chooses is the strict one.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Remedy, Verdict, does_not_apply, not_judged, require, require_at_least
from permitgen.rules.larger_conductor import with_conductors, with_grounding
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.quantities.conductor_area import area_of_gauge
from permitgen.rules.quantities.grounding_conductor_device import PV_ROLES
from permitgen.rules.quantities.grounding_conductor_size import grounding_conductor_owner, grown_in_proportion
from permitgen.rules.quantities.smallest_sufficient_size import smallest_sufficient_size
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole

if TYPE_CHECKING:
    from permitgen.code.provision import Provision
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.values.conductor_size import ConductorSize

VOLTAGE_DROP = "voltage drop"
PERMISSION = "dwelling_83_percent"
WAIVER = "pv_equipment_grounding_conductor_size"


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
    Applies to: circuits whose conductors are larger than needed; not where a raceway is the grounding conductor, and by the waiver
        for PV circuits not to dc circuits enlarged against voltage drop, which the file has to state.
    Example that fails: 60 A circuit, 6 AWG enlarged to 2 AWG with an 8 AWG grounding conductor: 26 251 cmil needed, 16 510 there.
    Example that passes: the same with 6 AWG, four gauges above 10 AWG as 2 AWG is above 6 AWG.
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
    qualified = given.option("grounding_conductor_sized_by", "")
    excepted = bool(qualified) and _excepts_qualified_person(given.provision("equipment_grounding_conductor_increase"))
    judgement = require_at_least(
        f"{circuit.tag}: {circuit.conductors.size} where {needed} suffices; its grounding conductor grows to {required.size},"
        f" {size} is there" + (f", sized by {qualified}" if excepted else ""),
        computed=area_of_gauge(size, "A_EGC", f"area of the grounding conductor, {size}"),
        limit=required.area_cmil,
        otherwise=Verdict.CAUTION if excepted else Verdict.VIOLATED,
        remedies=(with_grounding(owner, required.size), _with_needed(circuit, needed)),
        places=tuple(at for at in (owner.conductors.egc_at, circuit.conductors.size_at) if at),
    )
    if judgement.verdict is not Verdict.VIOLATED:
        return judgement
    return _by_permission(circuit, given, judgement) or _waived(circuit, given, judgement)


def _by_permission(circuit: Circuit, given: Given, judgement: Judgement) -> Judgement | None:
    """Return the judgement where only the smaller conductors permitted to a whole dwelling make it violated, else None.

    The section counts from the minimum size that has sufficient ampacity; whether that is what the permission grants is disputed.
    """
    owner = grounding_conductor_owner(given, circuit)
    size = owner.conductors.egc_size
    other = grown_in_proportion(given, circuit, without=PERMISSION)
    if size is None or owner.conductors.egc_at is None or (other is not None and other.size > size):
        return None
    reading = given.option("dwelling_permission_is_minimum_size", "")
    if reading == "yes":
        return judgement
    needed = smallest_sufficient_size(given, circuit, without=PERMISSION)
    if reading == "no":
        return require(fact=True, message=f"{circuit.tag}: {needed} is the smallest by ampacity; {size} is enough")
    section = given.provision(PERMISSION).section
    text = f"{judgement.message}; disputed: by ampacity, not the permission of {section}, {needed} is the smallest, and {size} is enough"
    return replace(judgement, verdict=Verdict.CAUTION, message=text, remedies=())


def _waived(circuit: Circuit, given: Given, judgement: Judgement) -> Judgement:
    """Return what the waiver for PV circuits makes of a conductor that did not grow: nothing where no reason is given."""
    role_ = role(given, circuit)
    if role_ not in PV_ROLES or circuit.reason_for_increase not in ("", VOLTAGE_DROP):
        return judgement
    if not circuit.reason_for_increase:
        return not_judged(f"why the conductors of {circuit.tag} are larger than needed (reason_for_increase)")
    provision = given.provision(WAIVER)
    reaches = given.option("pv_waiver_reaches_inverter_output", "")
    if reaches == "no":
        return judgement
    if reaches == "yes":
        message = f"{circuit.tag}: enlarged against voltage drop, so that its grounding conductor need not grow"
        return require(fact=True, message=message).under(provision)
    text = f"{judgement.message}; disputed: {provision.section}, read to reach the ac output of an inverter, waives it against voltage drop"
    return replace(judgement, verdict=Verdict.CAUTION, message=text, remedies=())


def _not_concerned(circuit: Circuit, given: Given) -> str:
    role_ = role(given, circuit)
    if role_ is CircuitRole.SERVICE:
        return "service conductors have no equipment grounding conductor"
    if not circuit.conductors.has_wire_egc:
        return "a metal raceway is the equipment grounding conductor"
    if role_ is CircuitRole.PV_DC and circuit.reason_for_increase == VOLTAGE_DROP:
        section = given.provision(WAIVER).section
        return f"waived by {section}: the grounding conductor need not grow with PV conductors enlarged against voltage drop"
    return ""


def _excepts_qualified_person(provision: Provision) -> bool:
    return provision.flag("qualified_person_exception")


def _with_needed(circuit: Circuit, needed: ConductorSize) -> Remedy:
    return with_conductors(
        circuit, replace(circuit.conductors, size=needed), f"{needed} {circuit.conductors.material} conductors for {circuit.tag}"
    )
