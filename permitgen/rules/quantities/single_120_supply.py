"""Which panels an island supplies with 120 V only: rule and label read it here."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.system.operating_mode import OperatingMode
from permitgen.system.spanning_forest import joined_with
from permitgen.system.walks.distribution import is_distribution

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.busbar import Busbar
    from permitgen.system.power_source import PowerSource


def sources_of_120_volts(given: Given, busbar: Busbar) -> tuple[PowerSource, ...]:
    """Return the island's sources of a panel with loads where all of them give 120 V; none where one gives more."""
    if not is_distribution(given.system, given.system.equipment[busbar.tag]):
        return ()
    reached = joined_with(given.system.graph, busbar.node, OperatingMode.ISLANDED)
    found = [s for s in given.system.sources.values() if s.is_ac and s.kind not in ("utility", "generator") and s.forms_island]
    sources = tuple(source for source in found if source.node in reached)
    return sources if all(_gives_120_volts(source, given) for source in sources) else ()


def _gives_120_volts(source: PowerSource, given: Given) -> bool:
    circuits = [c for c in given.system.circuits.values() if source.tag in (c.start.tag, c.finish.tag) and not c.is_dc]
    return bool(circuits) and all(circuit.conductors.ungrounded_count == 1 for circuit in circuits)
