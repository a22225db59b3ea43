"""The neutral of a source circuit carries what the source sends through it, or where it only senses, what a fault does."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.standard_sizes import conductor_area_cmil
from permitgen.rules.judgement import Judgement, does_not_apply, require_at_least
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.values.conductor_size import ConductorSize
    from permitgen.values.value import Value

_SOURCES = (CircuitRole.INVERTER_OUTPUT, CircuitRole.STORAGE_AC, CircuitRole.SOURCE_FEEDER)


@rule(
    "source-neutral",
    title="The neutral of a source circuit carries what the source sends through it, or where it only senses, what a fault does",
    provision="source_neutral",
    judges="circuit",
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the neutral of a source's output circuit.

    Requires: a neutral that only senses voltage is not smaller than the equipment grounding conductor; the neutral of a source
        from line to neutral is not smaller than its ungrounded conductor.
    Why: a fault to the sensing neutral takes the way of a ground fault; a line-to-neutral source sends all its current through it.
    Applies to: output circuits of inverters and storage with a neutral; two-wire 240 V output sends nothing through it.
    Example that fails: a 14 AWG sensing neutral beside a 10 AWG equipment grounding conductor.
    Example that passes: a 10 AWG sensing neutral there.
    """
    conductors = circuit.conductors
    if role(given, circuit) not in _SOURCES or not conductors.has_neutral:
        return does_not_apply(f"{circuit.tag} is no source circuit with a neutral")
    if conductors.neutral_senses_voltage_only:
        other, what = given.need(conductors.egc_size, f"equipment grounding conductor of {circuit.tag}"), "equipment grounding conductor"
    elif conductors.ungrounded_count == 1:
        other, what = given.need(conductors.size, f"conductor size of {circuit.tag}"), "ungrounded conductor"
    else:
        return does_not_apply(f"{circuit.tag}: a 240 V source sends no current of its own through the neutral")
    neutral = given.need(conductors.neutral_size or conductors.size, f"neutral of {circuit.tag}")
    message = f"{circuit.tag}: neutral {neutral}, {what} {other}"
    return require_at_least(message, computed=_area(given, neutral, "A_N", "neutral"), limit=_area(given, other, "A", what))


def _area(given: Given, size: ConductorSize, symbol: str, what: str) -> Value:
    return conductor_area_cmil(given.code, size).named(symbol, f"area of the {what}, {size}")
