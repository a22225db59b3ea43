"""Transfer equipment is listed, rated for the devices ahead of it, opens every ungrounded conductor and cannot join two supplies."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, not_judged, require, require_at_least
from permitgen.rules.parts import parts_for
from permitgen.rules.rule import rule
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.disconnect import TransferSwitch
    from permitgen.system.overcurrent_device import OvercurrentDevice

_LISTINGS = ("transfer switch", "transfer equipment", "microgrid interconnect device")


@rule(
    "transfer-equipment",
    title="Transfer equipment is listed, rated for the devices ahead of it, opens every ungrounded conductor and cannot join two supplies",
    provision="transfer_equipment",
    judges="transfer_switch",
)
def judge(switch: TransferSwitch, given: Given) -> Judgement:
    """Judge the listing, the poles, the interlock and the rating of one transfer switch.

    Requires: listed as transfer equipment; as many poles as the circuits on it have ungrounded conductors; both positions not closed
        together; rating ≥ the overcurrent device ahead on either side.
    Why: a conductor that stays joined makes the utility's dead line live; a switch smaller than what protects it burns before that opens.
    Applies to: transfer switches.
    Example that fails: a 100 A switch behind a 200 A main, or one of one pole on 120/240 V.
    Example that passes: a 200 A switch of two poles there.
    """
    listed = any(name in _LISTINGS for name in switch.listed_as) if switch.listed_as else None
    missing = f"what {switch.tag} is listed as"
    parts = [require(listed, f"{switch.tag} is {'' if listed else 'not '}listed as transfer equipment", missing=missing)]
    # A listed transfer switch is interlocked; only a file that says otherwise leaves room for doubt.
    if switch.answer("interlocked") is False:
        parts.append(require(fact=False, message=f"{switch.tag}: nothing keeps its two positions from being closed together"))
    if switch.rating_a is None:
        parts.append(not_judged(f"rating of {switch.tag}"))
    else:
        rating = switch.rating_a.named("R", f"rating of {switch.tag}")
        parts += parts_for(_devices_ahead(switch, given), lambda ahead: _behind(switch, rating, *ahead, given))
    parts.append(_poles(switch, given))
    return all_of(f"{switch.tag} is listed, rated for what protects it and opens every ungrounded conductor", parts)


def _behind(switch: TransferSwitch, rating: Value, part: str, device: OvercurrentDevice, given: Given) -> Judgement:
    ahead = given.need(device.rating_a, f"rating of {part}")
    return require_at_least(f"{switch.tag}: {rating.figure} A behind {ahead.figure} A at {part}", computed=rating, limit=ahead)


def _poles(switch: TransferSwitch, given: Given) -> Judgement:
    """Both positions open every ungrounded conductor: a position that leaves one closed joins the two supplies."""
    if switch.poles is None:
        return not_judged(f"poles of {switch.tag}")
    circuits = [given.system.circuits[tag] for tag in given.system.circuits_at.get(switch.tag, ())]
    number = max((circuit.conductors.ungrounded_count for circuit in circuits), default=0)
    if not number:
        return not_judged(f"circuits on {switch.tag}")
    poles = Value(float(switch.poles), "count", FromSystem(f"poles of {switch.tag}"), "n", f"poles of {switch.tag}")
    needed = Value(float(number), "count", FromSystem(f"circuits on {switch.tag}"), "n_L", "ungrounded conductors")
    return require_at_least(f"{switch.tag} opens {switch.poles} of {number} ungrounded conductors", computed=poles, limit=needed)


def _devices_ahead(switch: TransferSwitch, given: Given) -> Iterator[tuple[str, OvercurrentDevice]]:
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
                yield link.part, link.device
