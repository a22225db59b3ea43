"""What the utility can feed into a fault at the service point: resistance and reactance, line to line and line to neutral.

The order of trust is the utility's stated current, then its transformer's rating and impedance with an infinite primary. Nothing
is assumed where both are missing. Where resistance and reactance are not told apart, the split is taken that leaves the largest
current beyond the conductors.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.code.equations.fault_current import (
    half_winding_ohm,
    source_impedance_ohm,
    source_reactance_ohm,
    source_resistance_ohm,
    transformer_fault_current_a,
)
from permitgen.rules.given import MissingFactError
from permitgen.system.equipment.utility_service import UtilityService
from permitgen.values.origin import Assumed
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given

LINE_TO_LINE = "line to line"
LINE_TO_NEUTRAL = "line to neutral"


@dataclass(frozen=True, slots=True)
class SourceImpedance:
    """The source behind one kind of fault: its voltage, resistance, reactance and the current at its own terminals."""

    fault: str
    volts_v: Value
    resistance_ohm: Value
    reactance_ohm: Value
    current_a: Value


def utility_of(given: Given) -> UtilityService | None:
    """Return the utility's service point, None for a project without one."""
    return next((item for item in given.system.equipment.values() if isinstance(item, UtilityService)), None)


def utility_sources(given: Given, *, mostly_reactive_run: bool) -> tuple[SourceImpedance, ...]:
    """Return the utility as source of line-to-line and, where its transformer is described, line-to-neutral faults.

    ``mostly_reactive_run`` says that the conductors to the fault have more reactance than resistance; it decides which split of
    an unknown source is the safe one.

    Raises:
        MissingFactError: neither the fault current nor the transformer is stated.
    """
    key = ("utility source", mostly_reactive_run)
    return given.once_for_topology(key, lambda: _compute(given, mostly_reactive_run=mostly_reactive_run))


def _compute(given: Given, *, mostly_reactive_run: bool) -> tuple[SourceImpedance, ...]:
    utility = utility_of(given)
    if utility is None:
        raise MissingFactError("utility service")
    volts = given.need(utility.line_to_line_v, "system voltage")
    ratio = utility.fact("x_over_r")
    if utility.available_fault_current_a is not None:
        return (_behind(volts, utility.available_fault_current_a, ratio, mostly_reactive_run=mostly_reactive_run),)
    if utility.transformer_kva is None or utility.transformer_impedance_percent is None:
        raise MissingFactError("available fault current stated by the utility")
    current = transformer_fault_current_a.derive(
        apparent_kva=utility.transformer_kva,
        volts_v=volts,
        impedance_percent=utility.transformer_impedance_percent,
        tolerance_factor=given.provision("transformer_impedance_tolerance").value("impedance_factor"),
        provision=given.provision("transformer_impedance_tolerance"),
    )
    line = _behind(volts, current, ratio, mostly_reactive_run=mostly_reactive_run)
    return (line, _half_winding(given, utility, line))


def source_known_at(given: Given, tag: str, *, mostly_reactive_run: bool) -> SourceImpedance:
    """Return the utility as it appears at equipment that states its available fault current; the split is not known there.

    Raises:
        MissingFactError: the system voltage, or the current of this equipment, is not stated.
    """
    utility = utility_of(given)
    volts = given.need(utility.line_to_line_v if utility is not None else None, "system voltage")
    current = given.need(given.system.equipment[tag].fact("available_fault_current"), f"available fault current of {tag}")
    return _behind(volts, current, None, mostly_reactive_run=mostly_reactive_run)


def _behind(volts: Value, current: Value, ratio: Value | None, *, mostly_reactive_run: bool) -> SourceImpedance:
    if ratio is not None:
        resistance = source_resistance_ohm.derive(volts_v=volts, fault_current_a=current, reactance_to_resistance_factor=ratio)
        reactance = source_reactance_ohm.derive(resistance_ohm=resistance, reactance_to_resistance_factor=ratio)
        return SourceImpedance(LINE_TO_LINE, volts, resistance, reactance, current)
    whole = source_impedance_ohm.derive(volts_v=volts, fault_current_a=current)
    name = "all resistance" if mostly_reactive_run else "all reactance"
    reason = f"ratio of reactance to resistance of the utility source not stated; {name} leaves the largest current beyond the conductors"
    if mostly_reactive_run:
        return SourceImpedance(
            LINE_TO_LINE, volts, whole.named("R_s"), Value(0.0, "ohm", Assumed(reason), "X_s", "reactance of the source"), current
        )
    return SourceImpedance(
        LINE_TO_LINE, volts, Value(0.0, "ohm", Assumed(reason), "R_s", "resistance of the source"), whole.named("X_s"), current
    )


def _half_winding(given: Given, utility: UtilityService, line: SourceImpedance) -> SourceImpedance:
    provision = given.provision("transformer_half_winding")
    volts = given.need(utility.line_to_neutral_v, "line-to-neutral voltage")
    resistance, reactance = (
        half_winding_ohm.derive(
            half_winding_factor=provision.value(field),
            winding_ohm=whole,
            line_to_neutral_v=volts,
            line_to_line_v=line.volts_v,
            symbol=symbol,
            provision=provision,
        )
        for field, whole, symbol in (("resistance_factor", line.resistance_ohm, "R_LN"), ("reactance_factor", line.reactance_ohm, "X_LN"))
    )
    return SourceImpedance(LINE_TO_NEUTRAL, volts, resistance, reactance, line.current_a)
