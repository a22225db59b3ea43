"""Outside the array boundary at most 30 V remain on controlled conductors within 30 s of rapid shutdown."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.photovoltaic import string_voltage_v
from permitgen.rules.judgement import Judgement, all_of, not_judged, require, require_at_most
from permitgen.rules.parts import parts_for
from permitgen.rules.quantities.pv_voltage import converters_on
from permitgen.rules.rapid_shutdown.required import exemption
from permitgen.rules.rule import rule
from permitgen.rules.subjects import ArrayCircuit

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.photovoltaic import PVArray


@rule(
    "rapid-shutdown-outside-array",
    title="Outside the array boundary at most 30 V remain on controlled conductors within 30 s of rapid shutdown",
    provision="rapid_shutdown_outside_array",
    judges="pv_array",
)
def judge(array: PVArray, given: Given) -> Judgement:
    """Judge what remains on the conductors that leave the array.

    Requires: shutdown units in series × the voltage that remains at each ≤ 30 V within 30 s.
    Why: what runs over roofs and down walls outside the array must be harmless to whoever cuts it.
    Applies to: arrays that need rapid shutdown; inverters at the modules give nothing once they have no ac.
    Example that fails: 40 converters that keep 1 V each: 40 V.
    Example that passes: 14 of them: 14 V.
    """
    exempt = exemption(array, given)
    if exempt is not None:
        return exempt
    if array.strings:
        strings = [ArrayCircuit(f"{array.tag}.{name}", array, name, count) for name, count in array.strings.items()]
        return all_of(f"{array.tag}: outside the array after shutdown", parts_for(strings, lambda string: _string(string, given)))
    unit = given.need(array.module_inverter, f"inverter of {array.tag}")
    provision = given.provision("rapid_shutdown_outside_array")
    within = provision.value("within_s")
    stops = "stop without ac" if unit.is_listed_interactive else "are not listed to stop without ac"
    limit = f"{provision.value('limit_v').figure} V within {within.figure} s"
    message = f"{array.tag}: its inverters {stops}; at most {limit} outside the array"
    return require(unit.is_listed_interactive, message, missing=f"whether {unit.name} is listed as interactive")


def _string(string: ArrayCircuit, given: Given) -> Judgement:
    provision = given.provision("rapid_shutdown_outside_array")
    converter = string.array.converter
    each = converter.shutdown_v if converter is not None and converter.shutdown_v is not None else string.array.shutdown_v
    if each is None:
        return not_judged(f"voltage of each shutdown unit of {string.array.tag} after rapid shutdown")
    title = f"voltage that remains on {string.tag}"
    remains = string_voltage_v.derive(
        modules_count=converters_on(given, string), module_v=each.named("V_unit"), provision=provision, title=title
    )
    limit = provision.value("limit_v").named("V_30", "voltage permitted outside the array")
    message = f"{string.tag}: {remains.figure} V remain outside the array, {limit.figure} V permitted"
    return require_at_most(message, computed=remains, limit=limit)
