"""Panels, interconnect devices, meters and switches withstand the largest fault current at their terminals.

An assembly is as strong as its weakest part: the rating of the contactor and of a surge-protective device are judged beside the
rating of the whole.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require_at_most
from permitgen.rules.parts import parts_for
from permitgen.rules.quantities.fault_current import largest_at, turns_on
from permitgen.rules.quantities.fault_current_unstated import hanging_on_unstated
from permitgen.rules.rule import rule
from permitgen.system.equipment.microgrid_interconnect_device import MicrogridInterconnectDevice

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.values.value import Value


@rule(
    "short-circuit-current-rating",
    title="Panels, interconnect devices, meters and switches withstand the largest fault current at their terminals",
    provision="short_circuit_current_rating",
    judges="equipment",
)
def judge(item: Equipment, given: Given) -> Judgement:
    """Judge the short-circuit current rating of one enclosure and of the parts that have their own.

    Requires: every rating ≥ the largest available fault current at any terminal of the enclosure.
    Why: busbars and contacts are torn apart or weld before the device upstream opens.
    Applies to: panelboards, microgrid interconnect devices, meters, disconnects, transfer switches.
    Example that fails: 10 kA contactor where 13.2 kA are available, whatever the breaker beside it can interrupt.
    Example that passes: 22 kA contactor and assembly at the same place.
    """
    if not item.is_assembly:
        return does_not_apply(f"{item.tag}: its listing covers fault current")
    nodes = tuple(node for node in given.system.graph.at_node if node.split(".", maxsplit=1)[0] == item.tag)
    available = largest_at(given, nodes)
    if available is None:
        return does_not_apply(f"{item.tag}: no ac source reaches it")
    by = turns_on(given, nodes)
    parts = parts_for(_ratings(item), lambda rated: hanging_on_unstated(_part(item, available, by, *rated, given), given, nodes))
    return all_of(f"{item.tag}: {available.number:.3g} kA available, within its short-circuit current rating{by}", parts)


def _ratings(item: Equipment) -> list[tuple[str, Value | None]]:
    found = [(item.tag, item.short_circuit_rating_ka)]
    if isinstance(item, MicrogridInterconnectDevice):
        found.append((f"the contactor of {item.tag}", item.contactor_short_circuit_ka))
    if item.word("surge_protection") not in ("", "none"):
        found.append((f"the surge-protective device of {item.tag}", item.fact("surge_short_circuit_rating")))
    return found


def _part(item: Equipment, available: Value, by: str, name: str, stated: Value | None, given: Given) -> Judgement:
    rating = given.need(stated, f"short-circuit current rating of {name}")
    owner = "" if name == item.tag else f", {name}"
    message = f"{item.tag}: {available.number:.3g} kA available, short-circuit current rating {rating.figure} kA{owner}{by}"
    return require_at_most(message, computed=available, limit=rating.named("SCCR"))
