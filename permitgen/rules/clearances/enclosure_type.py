"""Enclosures outdoors are of a type that keeps rain out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.equipment import Equipment

KINDS = frozenset(
    {
        "meter",
        "junction_box",
        "panelboard",
        "dc_combiner",
        "microgrid_interconnect_device",
        "inverter",
        "energy_storage_system",
        "generator",
        "disconnect",
        "transfer_switch",
        "power_inlet",
        "rapid_shutdown_initiator",
        "ev_supply_equipment",
    }
)


@rule("enclosure-type", title="Enclosures outdoors are of a type that keeps rain out", provision="enclosure_type", judges="equipment")
def judge(item: Equipment, given: Given) -> Judgement:
    """Judge the type number of an enclosure against its place.

    Requires: outdoors one of the types that the code's table permits there, such as 3R.
    Why: water in an enclosure corrodes terminals and bridges live parts.
    Applies to: enclosures outdoors.
    Example that fails: type 1 panelboard on an outside wall.
    Example that passes: type 3R panelboard at the same place.
    """
    if item.kind not in KINDS:
        return does_not_apply(f"{item.tag}: no enclosure of its own")
    suitable = given.provision("enclosure_type").words("outdoors")
    if item.enclosure_type in suitable:
        return require(fact=True, message=f"{item.tag}: type {item.enclosure_type} enclosure")
    place = given.need(item.place, f"place of {item.tag}")
    if not given.need(place.outdoors, f"whether {item.tag} is outdoors"):
        return does_not_apply(f"{item.tag}: indoors")
    given.need(item.enclosure_type or None, f"enclosure type of {item.tag}")
    at = item.where.get("enclosure_type")
    places = (at,) if at is not None else ()
    return require(
        fact=False,
        message=f"{item.tag}: type {item.enclosure_type} enclosure outdoors; {', '.join(suitable)} may be used there",
        places=places,
    )
