"""Lugs without a breaker at which a feeder leaves a busbar for its loads, and what limits what it takes.

They are told from feed-through lugs, which stand at the far end of a busbar and carry it on to another panel.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.circuit_sides import side_beyond
from permitgen.system.walks.dc_circuits import circuit_at
from permitgen.system.walks.feeds import border_devices

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.busbar import Busbar
    from permitgen.system.circuit import Circuit
    from permitgen.system.walks.feeds import Border


@dataclass(frozen=True, slots=True)
class LoadLugs:
    """``circuit`` leaves the busbar behind no device; ``devices`` are the first ones beyond."""

    circuit: Circuit
    devices: tuple[Border, ...]

    @property
    def words(self) -> str:
        """Say what leaves where, and what limits it."""
        found = [(each.link.part, each.device.rating_a) for each in self.devices]
        told = (f"{part}, {f'{rating.figure} A' if rating is not None else 'rating not stated'}" for part, rating in found)
        limits = " and ".join(told)
        limited = f"which {limits} limits" if len(self.devices) == 1 else f"which {limits} limit" if limits else "which no device limits"
        return f"{self.circuit.tag} leaves at load lugs, {limited}"


def load_lugs(given: Given, busbar: Busbar) -> LoadLugs | None:
    """Return the lugs at which loads leave a busbar; None where it has none, or where nothing lands on them."""
    system = given.system
    for link in system.graph.at_node[busbar.node]:
        far = link.other(busbar.node)
        circuit = circuit_at(system, busbar.tag, far.rpartition(".")[2])
        if circuit is None or link.device is not None or link.switch or far == f"{busbar.tag}.feed_through":
            continue
        beyond = side_beyond(system, link, far, OperatingMode.WITH_UTILITY)
        if beyond.has_loads and not beyond.has_utility:
            _, devices = border_devices(system, far, left_out=(link,))
            return LoadLugs(circuit, devices)
    return None
