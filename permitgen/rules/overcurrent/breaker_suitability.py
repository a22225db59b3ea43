"""Overcurrent devices suit the voltage of their circuit, and its kind: ac or dc, to ground and between conductors."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Verdict, all_of, not_judged, require, require_at_most
from permitgen.rules.parts import parts_for
from permitgen.rules.quantities.circuit_current import line_to_line, line_to_neutral
from permitgen.rules.quantities.dc_voltage import dc_voltages
from permitgen.rules.rule import rule
from permitgen.system.equipment.dc_combiner import DCCombiner
from permitgen.system.walks.in_series import circuits_in_series
from permitgen.values.origin import Assumed, LeafOrigin, ProjectLine
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.installed_device import InstalledDevice

_MARK = re.compile(r"(?:(\d+)Y?/)?(\d+) V(?: dc)?")
# The least that is made: breakers of one and of more poles, cartridge fuses (240.83, 240.60).
_LEAST = {("circuit breaker", True): "120/240 V", ("circuit breaker", False): "120 V", ("fuse", True): "250 V", ("fuse", False): "250 V"}


@rule(
    "breaker-suitability",
    title="Overcurrent devices suit the voltage of their circuit, and its kind: ac or dc, to ground and between conductors",
    provision="breaker_slash_rating",
    judges="device",
)
def judge(device: InstalledDevice, given: Given) -> Judgement:
    """Judge the marked voltage of one device; on ac one without a stated mark counts as the least that is made, and the verdict says so.

    Requires: voltage to ground ≤ the lower and voltage between conductors ≤ the higher marked value; on dc circuits a dc rating and a
        marked voltage ≥ the highest of the circuit.
    Why: one pole of a slash-rated breaker cannot break the full voltage alone, and an ac device cannot break a dc arc.
    Applies to: breakers and fuses, wherever they stand.
    Example that fails: a 120/240 V breaker on a system with 208 V to ground; a fuse marked 240 V on a string of 450 V.
    Example that passes: a 120/240 V breaker on a 120/240 V system.
    """
    dc = [circuit for circuit in circuits_in_series(given.system, device) if circuit.is_dc]
    if dc:
        return _on_dc(device, dc, given)
    if given.system.equipment[device.enclosure].kind == DCCombiner.kind:
        return not_judged(f"voltage of the circuit behind {device.tag}, which the file does not hold")
    to_ground, between = _marked(device)
    parts = [_at_most(device, "to ground", line_to_neutral(given), to_ground)]
    if device.device.poles > 1:
        parts.append(_at_most(device, "between conductors", line_to_line(given), between))
    if device.device.marked_voltage.endswith(" dc"):
        parts.append(require(fact=False, message=f"{device.tag}: marked for dc alone, on an ac circuit"))
    judgement = all_of(f"{device.tag}: marked voltage suits the system", parts)
    if judgement.verdict is Verdict.VIOLATED and not device.device.marked_voltage:
        return not_judged(f"marked voltage of the {_word(device)} at {device.tag}")
    return judgement


def _word(device: InstalledDevice) -> str:
    return "fuse" if device.device.kind == "fuse" else "breaker"


def _on_dc(device: InstalledDevice, circuits: list[Circuit], given: Given) -> Judgement:
    mark = device.device.marked_voltage
    kind = require(
        True if mark.endswith(" dc") and device.device.is_dc_rated is not False else device.device.is_dc_rated,
        f"{device.tag}: device of a dc circuit, rated for dc",
        missing=f"dc rating of the device at {device.tag}",
    )
    if kind.verdict is Verdict.VIOLATED:
        return kind
    if not mark:
        return all_of(device.tag, [kind, not_judged(f"marked dc voltage of the device at {device.tag}")])
    marked = _marked(device)[1]
    parts = parts_for(circuits, lambda circuit: [_at_most(device, "dc", volts, marked) for volts in dc_voltages(given, circuit)])
    return all_of(f"{device.tag}: rated for dc and for the voltage of its circuit", [kind, *parts])


def _at_most(device: InstalledDevice, where: str, volts: Value, marked: Value) -> Judgement:
    return require_at_most(f"{device.tag}: {volts.number:.4g} V {where}, good for {marked.figure} V", computed=volts, limit=marked)


def _marked(device: InstalledDevice) -> tuple[Value, Value]:
    """Return the voltages to ground and between conductors for which a device is marked."""
    found = _MARK.fullmatch(device.device.marked_voltage or _LEAST[device.device.kind, device.device.poles > 1])
    assert found is not None  # noqa: S101 - the reader admits these forms only
    first, second = sorted((float(found[1] or found[2]), float(found[2])))
    origin = _origin(device)
    return Value(first, "v", origin, "E_ground", "marked voltage to ground"), Value(second, "v", origin, "E", "marked voltage")


def _origin(device: InstalledDevice) -> LeafOrigin:
    mark = device.device.marked_voltage
    if not mark or device.device.at is None:
        return Assumed(f"no voltage is stated for the {_word(device)}; the least that is made is taken")
    at = device.device.at
    return ProjectLine(at.file, at.line, at.column, f"{at.path}.voltage", mark)
