"""The smallest current that the island's own sources feed into a fault: what can be relied on to trip a device.

Only sources that keep the island alive count, because solar output comes and goes; a generator counts by its stated reactance.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.fault_current import fault_current_of_reactance_a
from permitgen.rules.quantities.circuit_current import generator_current
from permitgen.rules.quantities.fault_current import connected, contribution_of
from permitgen.system.equipment.generator import Generator
from permitgen.system.operating_mode import OperatingMode
from permitgen.values.equation import sum_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.power_source import PowerSource
    from permitgen.values.value import Value


def island_current(given: Given, node: str, mode: OperatingMode) -> Value | None:
    """Return the current of the island-forming sources at a node, A; None where none reaches it in the mode.

    Raises:
        MissingFactError: a generator's subtransient reactance, or what an inverter feeds into a fault, is not stated.
    """
    reached = connected(given, node, mode)
    forming = [s for s in given.system.sources.values() if s.node in reached and s.forms_island and s.is_ac]
    # A vehicle may be away.
    absent = {"vehicle"} if mode is OperatingMode.ON_GENERATOR else {"vehicle", "generator"}
    forming = [s for s in forming if s.kind not in absent]
    if not forming:
        return None
    key = ("island current", mode, tuple(s.id for s in forming))
    return given.once_for_topology(key, lambda: _sum(given, forming, mode))


def _sum(given: Given, sources: list[PowerSource], mode: OperatingMode) -> Value:
    parts = [_of(given, source) for source in sources]
    return sum_of(parts, symbol="I_f,min", title=f"fault current of the sources that keep the island energized, {mode}")


def _of(given: Given, source: PowerSource) -> Value:
    machine = given.system.equipment[source.tag]
    if not isinstance(machine, Generator):
        return contribution_of(given, source)
    reactance = given.need(machine.subtransient_reactance_percent, f"subtransient reactance of {machine.tag}")
    return fault_current_of_reactance_a.derive(rated_a=generator_current(given, machine), subtransient_percent=reactance)
