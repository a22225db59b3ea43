"""Strings of dc-to-dc converters stay within the dc voltage limits by their instructions, else by the sum of their outputs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply
from permitgen.rules.photovoltaic.maximum_voltage import limits_of
from permitgen.rules.quantities.pv_voltage import converter_string_voltage
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.subjects import ArrayCircuit


@rule(
    "pv-converter-voltage",
    title="Strings of dc-to-dc converters stay within the dc voltage limits by their instructions, else by the sum of their outputs",
    provision="pv_converter_voltage",
    judges="PV string",
)
def judge(circuit: ArrayCircuit, given: Given) -> Judgement:
    """Judge the voltage of converters in series.

    Requires: the string voltage fixed by the converters' instructions, or the sum of their rated outputs, ≤ every limit on the string.
    Why: converters that are not told to share a voltage can all stand at their maximum at once.
    Applies to: strings with dc-to-dc converters.
    Example that fails: 14 converters of 60 V whose instructions say nothing: 840 V on a dwelling.
    Example that passes: the same with a string voltage fixed at 400 V.
    """
    if circuit.array.converter is None:
        return does_not_apply(f"{circuit.tag} has no dc-to-dc converters")
    voltage = converter_string_voltage(given, circuit)
    parts = [
        limit.judge(voltage, f"{circuit.tag}: its converters give at most {voltage.figure} V")
        for limit in limits_of(circuit, given)
        if not limit.what.startswith("maximum system voltage")
    ]
    return all_of(f"{circuit.tag}: its converters give at most {voltage.figure} V", parts)
