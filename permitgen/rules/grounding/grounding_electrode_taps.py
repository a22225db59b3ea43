"""Of several service disconnects each is joined to the electrodes, by a conductor that is large enough for it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require, require_at_least
from permitgen.rules.parts import parts_for, parts_of
from permitgen.rules.quantities.conductor_area import area_of_size
from permitgen.rules.quantities.electrode_place import ElectrodePlace, electrode_place
from permitgen.rules.quantities.grounding_electrodes import required_area, required_conductor
from permitgen.rules.quantities.grounding_service_area import area_at
from permitgen.rules.quantities.service_disconnects import service_side
from permitgen.rules.rule import rule
from permitgen.system.equipment.grounding_electrode_system import GroundingElectrodeSystem

if TYPE_CHECKING:
    from permitgen.rules.given import Given


@rule(
    "grounding-electrode-taps",
    title="Of several service disconnects each is joined to the electrodes, by a conductor that is large enough for it",
    provision="grounding_electrode_taps",
    judges="grounding_electrode_system",
)
def judge(item: GroundingElectrodeSystem, given: Given) -> Judgement:
    """Judge the conductors from the electrodes to several service disconnects.

    Requires: each disconnect reached, or one conductor that lands ahead of them all; each tap or conductor ≥ the table's for the
        service conductors of its enclosure, or the cap of the electrodes.
    Why: a service disconnect that the taps leave out has its neutral grounded at the utility's transformer only.
    Applies to: services with disconnects in two enclosures or more. The common conductor: grounding-electrode-conductor-size.
    Example that fails: two 200 A panels behind one meter, the conductor lands in the first of them only.
    Example that passes: a common conductor of 2 AWG copper and a tap of 4 AWG to each, 4/0 AWG aluminum to each panel.
    """
    place = electrode_place(given, item)
    if place is not ElectrodePlace.SERVICE:
        return does_not_apply(f"{item.tag}: {place.value}")
    enclosures = service_side(given).enclosures
    if len(enclosures) < 2:
        return does_not_apply(f"{item.tag}: the service has one disconnect, or several in one enclosure")
    if item.absent & {"lands_at", "conductor", "electrodes"}:
        return does_not_apply(f"{item.tag}: no electrode or no conductor (see grounding-electrode-connection)")
    given.need(item.lands_at or None, f"where the conductor of {item.tag} ends")
    several = item.lands_at if len(item.lands_at) > 1 or item.sizes_to_each else ()
    parts = [*parts_of(lambda: _reached(item, enclosures, given)), *parts_for(several, lambda tag: _size(item, tag, given))]
    return all_of(f"{item.tag}: every service disconnect is joined to the electrodes", parts)


def _reached(item: GroundingElectrodeSystem, enclosures: tuple[str, ...], given: Given) -> Judgement:
    systems = [each for each in given.system.equipment.values() if isinstance(each, GroundingElectrodeSystem)]
    landings = {tag for each in systems for tag in each.lands_at}
    ahead = {node.split(".", maxsplit=1)[0] for node in service_side(given).ahead} - set(enclosures)
    left_out = [] if landings & ahead else [tag for tag in enclosures if tag not in landings]
    message = f"{item.tag}: {', '.join(left_out) or 'no service disconnect'} is left out by the grounding electrode conductors"
    return require(not left_out, message if left_out else f"{item.tag}: no service disconnect is left out")


def _size(item: GroundingElectrodeSystem, tag: str, given: Given) -> Judgement:
    size = given.need(item.sizes_to_each.get(tag), f"size of the conductor from {item.tag} to {tag}")
    service = area_at(given, tag)
    required = required_conductor(given, item, service)
    kind = "tap" if item.is_common else "grounding electrode conductor"
    limit = required_area(
        given,
        required,
        service,
        symbol="A_tap",
        title=f"{kind} to {tag}, {required.size} {item.conductor_material}",
        provision=given.provision("grounding_electrode_taps"),
    )
    return require_at_least(
        f"{item.tag}: {size} {item.conductor_material} {kind} to {tag}; {required.size} is required",
        computed=area_of_size(given, size, "A", f"area of the {kind} to {tag}, {size}"),
        limit=limit,
    )
