"""The stated length of a run agrees with the way that the plan draws."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Verdict, all_of, does_not_apply, require_at_least, require_at_most
from permitgen.rules.parts import parts_for
from permitgen.rules.quantities.plan_contradictions import straight_ft
from permitgen.rules.rule import rule
from permitgen.system.site.geometry import length_of_way
from permitgen.values.equation import sum_of
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit, Way
    from permitgen.system.raceway import Raceway


@rule(
    "plan-agrees-length",
    title="The stated length of a run agrees with the way that the plan draws",
    provision="drawn_as_stated",
    judges="raceway",
)
def judge(raceway: Raceway, given: Given) -> Judgement:
    """Judge the stated length of a run by its route on the plan, or by the places of what it joins.

    Requires: length ≥ the route drawn less 0.5 ft, ≤ the route + 15 % or 5 ft; without one, ≥ the straight line between its ends less
    5 ft.
    Why: voltage drop and fault current follow from the length; a length that cannot be makes both false without a word.
    Applies to: runs with a route, and runs whose circuits end at equipment that the plan places.
    Example that fails: 19 ft stated between a service point and a meter drawn 26 ft apart.
    Example that passes: 30 ft stated for the same run.
    """
    if len(raceway.route) > 1:
        return _by_route(raceway, given)
    ways = [(circuit, way) for circuit in given.system.circuits.values() for way in circuit.ways if raceway.tag in way.runs]
    parts = parts_for(ways, lambda each: _by_ends(*each, given))
    return (
        all_of(f"{raceway.tag}: long enough for what it joins", parts) if parts else does_not_apply(f"{raceway.tag}: its way is not drawn")
    )


def _by_route(raceway: Raceway, given: Given) -> Judgement:
    stated = given.need(raceway.length_ft, f"length of {raceway.tag}")
    limits = given.provision("drawn_as_stated")
    drawn = length_of_way(raceway.route)
    least = _drawn(max(0.0, drawn - limits.value("tolerance_ft").number), f"route of {raceway.tag} on the plan, less the tolerance")
    more = max(drawn * limits.value("longer_percent").number / 100, limits.value("longer_ft").number)
    most = _drawn(drawn + more, f"route of {raceway.tag} on the plan, with drops")
    message = f"{raceway.tag}: {stated.length} stated, {drawn:.1f} ft drawn"
    parts = [
        require_at_least(message, computed=stated, limit=least),
        require_at_most(message, computed=stated, limit=most, otherwise=Verdict.CAUTION),
    ]
    return all_of(message, parts)


def _by_ends(circuit: Circuit, way: Way, given: Given) -> list[Judgement]:
    """The runs of each way reach from one end to the other."""
    system = given.system
    lengths = [system.raceways[tag].length_ft for tag in way.runs]
    straight = straight_ft(system, system.equipment[circuit.start.tag], system.equipment[circuit.finish.tag])
    known = [length for length in lengths if length is not None]
    if straight is None or len(known) < len(lengths):
        return []
    stated = sum_of(known, symbol="L", title=f"stated length of {circuit.tag}") if len(known) > 1 else known[0]
    # Both places are points of symbols on a plan; a nipple between neighbors is drawn longer than it is.
    tolerance = given.provision("drawn_as_stated").value("longer_ft").number
    least = _drawn(max(0.0, straight - tolerance), f"straight line between the ends of {circuit.tag} on the plan, less the tolerance")
    message = f"{', '.join(way.runs)}: {stated.length} stated, {circuit.start.tag} and {circuit.finish.tag} drawn {straight:.1f} ft apart"
    return [require_at_least(message, computed=stated, limit=least)]


def _drawn(number: float, title: str) -> Value:
    return Value(number, "ft", FromSystem("measured on the site plan"), "d", title)
