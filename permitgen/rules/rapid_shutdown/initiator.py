"""The device that starts rapid shutdown of a dwelling stands outside, readily accessible, and its off position starts it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, not_judged, require
from permitgen.rules.quantities.array_buildings import buildings_of_array, of_unknown_use, touches_small_dwelling
from permitgen.rules.quantities.stopped_by_control import opened_at
from permitgen.rules.rapid_shutdown.required import exemption
from permitgen.rules.rule import rule
from permitgen.system.walks.rapid_shutdown import Initiator, initiators
from permitgen.system.walks.stop_loops import RAPID_SHUTDOWN, stop_loops

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.photovoltaic import PVArray


@rule(
    "rapid-shutdown-initiator",
    title="The device that starts rapid shutdown of a dwelling stands outside, readily accessible, and its off position starts it",
    provision="rapid_shutdown_initiator",
    judges="pv_array",
)
def judge(array: PVArray, given: Given) -> Judgement:
    """Judge every device that starts rapid shutdown of one array.

    Requires: outside and readily accessible where the array or its circuits are at a one- or two-family dwelling; off starts shutdown;
        off and on plainly shown.
    Why: whoever comes first must find it from outside and see that it is off.
    Applies to: arrays that need rapid shutdown; service disconnect, PV disconnect or a switch made for it.
    Example that fails: a shutdown switch inside the garage.
    Example that passes: a shutdown switch on the outside wall beside the meter.
    """
    exempt = exemption(array, given)
    if exempt is not None:
        return exempt
    found = [initiator for initiator in initiators(given.system) if array.tag in initiator.arrays]
    if not found:
        return does_not_apply(f"{array.tag}: nothing starts its rapid shutdown (see rapid-shutdown-required)")
    parts = [part for initiator in found for part in _parts(initiator, array, given)]
    names = " and ".join(initiator.item.tag for initiator in found)
    return all_of(f"{array.tag}: {names} starts rapid shutdown, outside and readily accessible", parts)


def _parts(initiator: Initiator, array: PVArray, given: Given) -> Iterator[Judgement]:
    item = initiator.item
    at = (item.at,) if item.at is not None else ()
    touched = buildings_of_array(given, array)
    small = touches_small_dwelling(given, touched)
    if small is not False:
        place = item.place
        outdoors = place.outdoors if place is not None else None
        access = place.readily_accessible if place is not None else None
        asked = () if small else of_unknown_use(given, touched)
        message = f"{item.tag} is {'outdoors' if outdoors else 'indoors'}"
        yield _at_dwelling(require(outdoors, message, missing=f"whether {item.tag} is outside", places=at), asked)
        message = f"{item.tag} is {'' if access else 'not '}readily accessible"
        yield _at_dwelling(require(access, message, missing=f"whether {item.tag} is readily accessible", places=at), asked)
    if initiator.by_control:
        shows = item.answer("shows_off_and_on")
        message = f"{item.tag} {'shows' if shows else 'does not show'} plainly whether it is off or on"
        yield require(shows, message, missing=f"whether {item.tag} plainly shows off and on")
        yield _loop(initiator, given)


def _at_dwelling(judgement: Judgement, asked: tuple[str, ...]) -> Judgement:
    """What binds at a dwelling only: where ``asked`` leaves open whether it is one, a part that fails is not judged."""
    return not_judged(*asked) if asked and not judgement.holds else judgement


def _loop(initiator: Initiator, given: Given) -> Judgement:
    tag = initiator.item.tag
    loops = stop_loops(given.system, tag, RAPID_SHUTDOWN)
    if not loops:
        return not_judged(f"control circuit of {tag} for rapid shutdown")
    return opened_at(tag, loops, ("starts shutdown", "does not start shutdown"), f"{tag}: off starts shutdown")
