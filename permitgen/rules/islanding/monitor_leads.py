"""The voltage leads of an energy monitor are protected where they leave the power conductors."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, require
from permitgen.rules.quantities.vehicle_supply import devices_ahead
from permitgen.rules.rule import rule
from permitgen.values.listed_words import listed

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.utilization import EnergyMonitor


@rule(
    "monitor-leads",
    title="The voltage leads of an energy monitor are protected where they leave the power conductors",
    provision="overcurrent_at_supply",
    judges="energy_monitor",
)
def judge(monitor: EnergyMonitor, given: Given) -> Judgement:
    """Judge the protection of the thin wires by which a monitor measures.

    Requires: a circuit with an overcurrent device, fuses in the leads, or leads that are listed with the monitor.
    Why: a lead of 18 AWG on lugs of 200 A is a fuse that burns along its whole length.
    Applies to: energy monitors.
    Example that fails: leads from the main lugs without fuses.
    Example that passes: a 15 A circuit of its own; fused leads as supplied.
    """
    devices = devices_ahead(given, monitor)
    if devices:
        return require(fact=True, message=f"{monitor.tag}: its circuit is protected at {listed([each.tag for each in devices])}")
    leads = monitor.word("voltage_leads")
    found = leads in ("fused leads", "listed accessory") if leads else None
    message = f"{monitor.tag}: its voltage leads have {leads}"
    return require(found, message, missing=f"how the voltage leads of {monitor.tag} are protected")
