"""Every source that keeps the house alive without the utility is kept apart from the utility while it does."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, not_judged, require, require_at_least
from permitgen.rules.parts import parts_for
from permitgen.rules.rule import rule
from permitgen.system.equipment.disconnect import TransferSwitch
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.island import devices_between, way_to_utility
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.subjects import InstalledSource
    from permitgen.system.equipment.equipment import Equipment


@rule(
    "mid-required",
    title="Every source that keeps the house alive without the utility is kept apart from the utility while it does",
    provision="microgrid_interconnect_device",
    judges="source",
)
def judge(subject: InstalledSource, given: Given) -> Judgement:
    """Judge every mode without the utility for a closed way from one source to it.

    Requires: a device opens all ungrounded conductors between every island-forming source and the utility.
    Why: an island that stays joined to a dead line makes it live for whoever repairs it.
    Applies to: storage, multimode inverters and vehicles; generators are judged by their transfer equipment.
    Example that fails: a battery that backs up the service panel itself.
    Example that passes: the same behind an interconnect device whose contactor has two poles.
    """
    source = subject.source
    if not source.forms_island or source.kind == "generator" or not source.is_ac or not given.system.utility_nodes:
        return does_not_apply(f"{source.id} does not form an island beside a utility")
    modes = [mode for mode in given.system.modes if mode is not OperatingMode.WITH_UTILITY]
    joined = next((mode for mode in modes if way_to_utility(given.system, source, mode)), None)
    if joined is not None:
        way = " - ".join(way_to_utility(given.system, source, joined))
        return require(fact=False, message=f"{source.id} stays joined to the utility ({joined}) by {way}")
    devices = devices_between(given.system, source)
    parts = parts_for(devices, lambda device: _poles(device, given)) or [not_judged(f"what keeps {source.id} apart from the utility")]
    return all_of(f"{source.id} is kept apart from the utility by {' and '.join(device.tag for device in devices)}", parts)


def _poles(device: Equipment, given: Given) -> Judgement:
    number = 2
    switch = next((each for each in given.system.islanding_switches if each.tag == device.tag), None)
    if switch is not None:
        number = given.need(switch.poles, f"poles of the {switch.word} of {device.tag}")
    elif isinstance(device, TransferSwitch):
        number = given.need(device.poles, f"poles of {device.tag}")
    poles = Value(float(number), "count", FromSystem(f"poles of {device.tag}"), "n", f"poles that {device.tag} opens")
    needed = Value(2.0, "count", FromSystem("ungrounded conductors of the system"), "n_L", "ungrounded conductors")
    message = f"{device.tag} opens {number} of 2 ungrounded conductors" if number < 2 else f"{device.tag} opens all ungrounded conductors"
    return require_at_least(message, computed=poles, limit=needed)
