"""The energy monitor that runs the island is supplied in every mode."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Verdict, does_not_apply, require
from permitgen.rules.rule import rule
from permitgen.system.walks.island import live_in

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.utilization import EnergyMonitor


@rule(
    "energy-monitor-supply",
    title="The energy monitor that runs the island is supplied in every mode",
    provision="island_energy_monitor_supply",
    judges="energy_monitor",
)
def judge(monitor: EnergyMonitor, given: Given) -> Judgement:
    """Advise on the supply of an energy monitor.

    Requires: a source reaches the energy monitor's supply in every mode that exists.
    Why: an island whose controller has lost its supply cannot be managed or shut down in order.
    Applies to: energy monitors.
    Example that fails: an energy monitor on the main panel of a house with a backup panel behind the interconnect device.
    Example that passes: an energy monitor on the backup panel.
    """
    dead = [mode for mode in given.system.modes if not live_in(given.system, f"{monitor.tag}.input", mode)]
    if not given.system.modes:
        return does_not_apply(f"{monitor.tag}: nothing supplies the house")
    text = f"is without supply {', '.join(str(mode) for mode in dead)}" if dead else "is supplied in every mode"
    return require(not dead, f"{monitor.tag} {text}", otherwise=Verdict.CAUTION)
