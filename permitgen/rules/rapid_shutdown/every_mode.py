"""Rapid shutdown works in every mode: no initiator relies on taking away ac that a battery or generator keeps alive."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, not_judged, require
from permitgen.rules.parts import parts_for
from permitgen.rules.rapid_shutdown.required import exemption
from permitgen.rules.rule import rule
from permitgen.system.walks.rapid_shutdown import Initiator, arrays_of, initiators, kept_alive_by
from permitgen.system.walks.stop_loops import RAPID_SHUTDOWN, stop_loops

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.subjects import InMode
    from permitgen.system.equipment.photovoltaic import PVArray
    from permitgen.system.operating_mode import OperatingMode


@rule(
    "rapid-shutdown-every-mode",
    title="Rapid shutdown works in every mode: no initiator relies on taking away ac that a battery or generator keeps alive",
    provision="rapid_shutdown_initiator",
    judges="mode",
)
def judge(subject: InMode, given: Given) -> Judgement:
    """Judge every initiator of every array in one mode.

    Requires: after an initiator is turned off nothing keeps the array's inverters running, or a control loop stops them.
    Why: behind an islanding device the service disconnect opens onto a house that stays alive, and the array with it.
    Applies to: every mode that exists, with the utility, islanded, on the generator.
    Example that fails: the service disconnect as initiator of a house with a battery behind an interconnect device.
    Example that passes: a switch whose loop stops the array and the battery.
    """
    parts = parts_for(arrays_of(given.system), lambda array: _of_array(array, subject.mode, given))
    if not parts:
        return does_not_apply("no array has an initiator to check")
    return all_of(f"{subject.mode}: every initiator stops its arrays", parts)


def _of_array(array: PVArray, mode: OperatingMode, given: Given) -> Iterator[Judgement]:
    if exemption(array, given) is not None:
        return
    for initiator in initiators(given.system):
        if array.tag in initiator.arrays:
            yield _judge(array, initiator, mode, given)


def _judge(array: PVArray, initiator: Initiator, mode: OperatingMode, given: Given) -> Judgement:
    tag = initiator.item.tag
    if initiator.by_control:
        if not stop_loops(given.system, tag, RAPID_SHUTDOWN):
            return not_judged(f"control circuit of {tag} for rapid shutdown")
        return require(fact=True, message=f"{array.tag}: {tag} stops it by its control loop, {mode}")
    handle = given.system.handles.get(initiator.handle)
    stopped = handle.stops if handle is not None else ()
    keeping = kept_alive_by(given.system, array, {initiator.handle}, stopped, mode)
    if not keeping:
        return require(fact=True, message=f"{array.tag}: {tag} takes away the ac its inverters need, {mode}")
    names = " and ".join(dict.fromkeys(source.tag for source in keeping))
    message = f"{array.tag}: opening {tag} does not shut it down, {names} keeps its inverters energized ({mode})"
    return require(fact=False, message=message)
