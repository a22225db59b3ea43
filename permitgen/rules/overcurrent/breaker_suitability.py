"""Breakers suit the voltages of the system: slash-rated ones only where the voltage to ground stays at the lower value."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Verdict, all_of, does_not_apply, not_judged, require, require_at_most
from permitgen.rules.quantities.circuit_current import line_to_line, line_to_neutral
from permitgen.rules.rule import rule
from permitgen.values.origin import Assumed, LeafOrigin, ProjectLine
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.subjects import InstalledDevice

_MARK = re.compile(r"(?:(\d+)Y?/)?(\d+) V")


@rule("breaker-suitability", provision="breaker_slash_rating", judges="device")
def judge(device: InstalledDevice, given: Given) -> Judgement:
    """Judge the marked voltage of one device; a two-pole breaker without a stated mark counts as 120/240 V, the least that is made.

    Requires: voltage to ground ≤ the lower and voltage between conductors ≤ the higher marked value; on dc circuits a dc rating.
    Why: one pole of a slash-rated breaker cannot break the full voltage alone, and an ac breaker cannot break a dc arc.
    Applies to: circuit breakers on ac; breakers and fuses on dc circuits.
    Example that fails: a 120/240 V breaker on a system with 208 V to ground.
    Example that passes: a 120/240 V breaker on a 120/240 V system.
    """
    circuit = given.system.circuits.get(device.circuit)
    if circuit is not None and circuit.is_dc:
        return require(
            device.device.is_dc_rated,
            f"{device.tag}: device of a dc circuit, rated for dc",
            missing=f"dc rating of the breaker or fuse at {device.tag}",
        )
    if device.device.kind != "circuit breaker":
        return does_not_apply(f"{device.tag} is a fuse")
    to_ground, between = _marked(device)
    parts = [_at_most(device, "to ground", line_to_neutral(given), to_ground)]
    if device.device.poles > 1:
        parts.append(_at_most(device, "between conductors", line_to_line(given), between))
    judgement = all_of(f"{device.tag}: marked voltage suits the system", parts)
    if judgement.verdict is Verdict.VIOLATED and not device.device.marked_voltage:
        return not_judged(f"marked voltage of the breaker at {device.tag}")
    return judgement


def _at_most(device: InstalledDevice, where: str, volts: Value, marked: Value) -> Judgement:
    return require_at_most(f"{device.tag}: {volts.number:g} V {where}, good for {marked.number:g} V", computed=volts, limit=marked)


def _marked(device: InstalledDevice) -> tuple[Value, Value]:
    """Return the voltages to ground and between conductors for which a breaker is marked."""
    found = _MARK.fullmatch(device.device.marked_voltage or ("120/240 V" if device.device.poles > 1 else "120 V"))
    assert found is not None  # noqa: S101 - the reader admits these forms only
    first, second = sorted((float(found[1] or found[2]), float(found[2])))
    origin = _origin(device)
    return Value(first, "v", origin, "E_ground", "marked voltage to ground"), Value(second, "v", origin, "E", "marked voltage")


def _origin(device: InstalledDevice) -> LeafOrigin:
    mark = device.device.marked_voltage
    if not mark or device.device.at is None:
        return Assumed("no voltage is stated for the breaker; the least that is made is taken")
    at = device.device.at
    return ProjectLine(at.file, at.line, at.column, f"{at.path}.voltage", mark)
