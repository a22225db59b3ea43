"""Only what the code lists stands between the service point and the service disconnect.

Meters, splices and junctions, meter and emergency disconnects, taps of power sources. An interconnect device with lugs between
meter and main is not on the list, unless it is a listed device for the meter socket or holds the service disconnect itself.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.quantities.service_disconnects import service_side
from permitgen.rules.rule import rule

_METER = "meter"
_NOTHING = "none"

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.equipment import Equipment


@rule(
    "supply-side-equipment",
    title="Only what the code lists stands between the service point and the service disconnect",
    provision="supply_side_equipment",
    judges="equipment",
)
def judge(item: Equipment, given: Given) -> Judgement:
    """Judge each piece of equipment ahead of the service disconnect.

    Requires: a kind of equipment that may be connected on the supply side of the service disconnect. Where only part of a listing is told
        that would permit it, or what plugs into a meter does not say as what it is listed, that is asked.
    Why: nothing ahead of the service disconnect can be made dead on the premises.
    Applies to: equipment that service conductors pass through before the service disconnect.
    Example that fails: interconnect device with supply lugs between meter and main panel.
    Example that passes: the same device with a main breaker, used as the service disconnect.
    """
    side = service_side(given)
    passed = {node.split(".", maxsplit=1)[0] for node in side.ahead}
    if item.kind == "utility_service" or item.tag not in passed or (item.tag in side.enclosures and not _switches_ahead(item, given)):
        return does_not_apply(f"{item.tag}: not ahead of the service disconnect")
    reason = _permitted(item, given)
    if reason:
        at_meter = any(word in reason for word in ("adapter", "collar", "interconnect"))
        doubt = "no item of the list names an adapter; it rests on that of interconnected sources" if at_meter else ""
        return require(fact=True, message=f"{item.tag}: {reason} may be ahead of the service disconnect", doubt=doubt)
    message = f"{item.tag}: {item.name} is ahead of the service disconnect, where this kind of equipment is not permitted"
    open_fact = None if _may_be_listed_so(item, given) else False
    return require(open_fact, message, missing=f"what {item.tag} is listed as, in all words of its listing mark")


def _permitted(item: Equipment, given: Given) -> str:
    """The kind under which the code lists the equipment, empty where it does not."""
    if item.may_precede_service_disconnect:
        return f"a {item.kind.replace('_', ' ')}"
    if item.kind == "disconnect" and item.tag in {d.enclosure for d in service_side(given).of_sources}:
        return "the disconnect of a power source"
    if item.kind == "disconnect" and getattr(item, "purpose", "") == "emergency":
        return "a meter or emergency disconnect"
    listed = item.listed_as & set(given.provision("supply_side_equipment").words("by_listing"))
    return f"a {min(listed)}" if listed else ""


def _may_be_listed_so(item: Equipment, given: Given) -> bool:
    """Whether what is said of a listing leaves open that it is a permitted one: part of its words, none, or it plugs into the meter.

    A listing as interconnect device or transfer switch says what it does, and not where it may be mounted.
    """
    words = given.provision("supply_side_equipment").words("by_listing")
    permitted = [_words(each) for each in words]
    told = [_words(each) for each in item.listed_as]
    if any(said and said[0] == full[0] and set(said) < set(full) for said in told for full in permitted):
        return True
    return (
        item.transfers
        and _NOTHING not in item.listed_as
        and _METER in {full[0] for full in permitted}
        and (not told or _plugs(item, given))
    )


def _words(listing: str) -> list[str]:
    return listing.replace("-", " ").split()


def _plugs(item: Equipment, given: Given) -> bool:
    """Whether no run is said to lie between the equipment and a meter."""
    system = given.system
    joined = (system.circuits[tag] for tag in system.circuits_at.get(item.tag, ()))
    return any(any(system.equipment[end.tag].kind == _METER for end in circuit.ends) and not circuit.runs for circuit in joined)


def _switches_ahead(item: Equipment, given: Given) -> bool:
    """Whether the contactor or transfer mechanism of the equipment lies ahead of the service disconnect."""
    return item.transfers and f"{item.tag}.{item.switched_terminal}" in service_side(given).ahead
