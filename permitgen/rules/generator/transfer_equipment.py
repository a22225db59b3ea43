"""Transfer equipment is listed and rated for the devices ahead of it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, not_judged, require, require_at_least
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.disconnect import TransferSwitch
    from permitgen.values.value import Value

_LISTINGS = ("transfer switch", "transfer equipment", "microgrid interconnect device")


@rule(
    "transfer-equipment",
    title="Transfer equipment is listed and rated for the devices ahead of it",
    provision="transfer_equipment",
    judges="transfer_switch",
)
def judge(switch: TransferSwitch, given: Given) -> Judgement:
    """Judge the listing and the rating of one transfer switch.

    Requires: listed as transfer equipment; rating ≥ the overcurrent device ahead on either side.
    Why: a switch that is smaller than what protects it burns before that opens.
    Applies to: transfer switches.
    Example that fails: a 100 A switch behind a 200 A main.
    Example that passes: a 200 A switch there.
    """
    listed = any(name in _LISTINGS for name in switch.listed_as) if switch.listed_as else None
    missing = f"what {switch.tag} is listed as"
    parts = [require(listed, f"{switch.tag} is {'' if listed else 'not '}listed as transfer equipment", missing=missing)]
    if switch.rating_a is None:
        parts.append(not_judged(f"rating of {switch.tag}"))
    else:
        rating = switch.rating_a.named("R", f"rating of {switch.tag}")
        for part, device in _devices_ahead(switch, given):
            message = f"{switch.tag}: {rating.number:g} A behind {device.number:g} A at {part}"
            parts.append(require_at_least(message, computed=rating, limit=device))
    return all_of(f"{switch.tag} is listed and rated for what protects it", parts)


def _devices_ahead(switch: TransferSwitch, given: Given) -> Iterator[tuple[str, Value]]:
    """Yield the first device on each side, seen from the switch."""
    own = (f"{switch.tag} normal", f"{switch.tag} alternate")
    for terminal in ("normal", "alternate"):
        node = f"{switch.tag}.{terminal}"
        reached = given.system.graph.reach([node], lambda link: link.device is None and link.part not in own)
        ends = [
            link
            for name in reached
            for link in given.system.graph.at_node.get(name, ())
            if link.device is not None and link.part not in own
        ]
        for link in ends:
            if link.device is not None:
                yield link.part, given.need(link.device.rating_a, f"rating of {link.part}")
