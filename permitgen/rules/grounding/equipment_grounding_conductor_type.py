"""Where a raceway is the equipment grounding conductor, it is of a kind and length that may be one.

Rigid metal kinds serve over any length. Flexible metal and liquidtight flexible metal conduit serve for 6 ft at most in the
whole ground return path, to 20 A in the small and to 60 A in the larger trade sizes. Nonmetallic raceways never do.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require, require_at_most
from permitgen.rules.parts import parts_for, parts_of
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.quantities.grounding_conductor_device import governing_device_rating
from permitgen.rules.quantities.length_of_ways import longest_way_ft
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.values.trade_size import trade_size_in

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.raceway import Raceway
    from permitgen.values.value import Value

FLEXIBLE = frozenset({"FMC", "LFMC"})
_SMALL_LIQUIDTIGHT = 0.5
_LARGEST_LIQUIDTIGHT = 1.25


@rule(
    "equipment-grounding-conductor-type",
    title="Where a raceway is the equipment grounding conductor, it is of a kind and length that may be one",
    provision="equipment_grounding_conductor_type",
    judges="circuit",
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge each raceway of a circuit that has no grounding wire.

    Requires: rigid metal raceway throughout; flexible metal parts of 6 ft together at most, on 20 A or 60 A at most by kind and size.
    Why: a raceway that cannot carry the fault current leaves equipment live.
    Applies to: circuits whose equipment grounding conductor is the raceway.
    Example that fails: PVC as the only grounding path.
    Example that passes: EMT throughout.
    """
    if circuit.conductors.has_no_egc:
        return does_not_apply(f"{circuit.tag}: no equipment grounding conductor (see grounded-conductor-for-grounding)")
    if circuit.conductors.has_wire_egc or role(given, circuit) is CircuitRole.SERVICE:
        return does_not_apply(f"{circuit.tag}: its equipment grounding conductor is a wire")
    given.need(circuit.runs or None, f"raceway of {circuit.tag}")
    runs = [given.system.raceways[tag] for tag in circuit.runs]
    parts = [_kind(given, circuit, run) for run in runs if run.kind not in FLEXIBLE]
    flexible = [run for run in runs if run.kind in FLEXIBLE]
    if flexible:
        parts += parts_of(lambda: _length(given, circuit))
        parts += parts_for(flexible, lambda run: _device(given, circuit, run))
    return all_of(f"{circuit.tag}: its raceways may serve as equipment grounding conductor", parts)


def _kind(given: Given, circuit: Circuit, run: Raceway) -> Judgement:
    if run.is_wireway and run.is_metal:
        message = f"{circuit.tag}: the metal wireway {run.tag} is {'' if run.answer('listed_for_grounding') else 'not '}listed as a ground"
        return require(run.answer("listed_for_grounding"), message, missing=f"whether {run.tag} is listed for grounding")
    allowed = given.provision("equipment_grounding_conductor_type").words("raceways")
    return require(run.kind in allowed, f"{circuit.tag}: {run.tag} is {run.kind}; {', '.join(allowed)} may be a grounding conductor")


def _length(given: Given, circuit: Circuit) -> Judgement:
    """The ground return path of each way is a path of its own."""
    total = longest_way_ft(given, circuit, f"flexible raceways of {circuit.tag} together", lambda run: run.kind in FLEXIBLE)
    limit = given.provision("equipment_grounding_conductor_type").value("flexible_ft")
    return require_at_most(f"{circuit.tag}: {total.length} of flexible raceway, {limit.length} permitted", computed=total, limit=limit)


def _device(given: Given, circuit: Circuit, run: Raceway) -> Judgement:
    rating = governing_device_rating(given, circuit)
    limit = _limit(given, run)
    if limit is None:
        return require(fact=False, message=f"{circuit.tag}: {run.trade_size} in {run.kind} may not be a grounding conductor")
    message = f"{circuit.tag}: {rating.figure} A behind {run.trade_size} in {run.kind}, {limit.figure} A permitted"
    return require_at_most(message, computed=rating, limit=limit)


def _limit(given: Given, run: Raceway) -> Value | None:
    provision = given.provision("equipment_grounding_conductor_type")
    if run.kind == "FMC":
        return provision.value("small_flexible_a")
    size = trade_size_in(given.need(run.trade_size, f"trade size of {run.tag}"))
    if size <= _SMALL_LIQUIDTIGHT:
        return provision.value("small_flexible_a")
    return provision.value("large_liquidtight_a") if size <= _LARGEST_LIQUIDTIGHT else None
