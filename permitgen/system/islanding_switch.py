"""What parts the house from the utility: the contactor of an interconnect device, or the relay inside an inverter."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.system.equipment.inverter import Inverter
from permitgen.system.equipment.microgrid_interconnect_device import MicrogridInterconnectDevice

if TYPE_CHECKING:
    from collections.abc import Mapping

    from permitgen.system.equipment.equipment import Equipment
    from permitgen.values.origin import ProjectLine
    from permitgen.values.value import Value

INTERCONNECT_LISTING = "microgrid interconnect device"


@dataclass(frozen=True, slots=True)
class IslandingSwitch:
    """A switch that islands, wherever it is built in. ``tag`` is that of the equipment, ``word`` what people call the switch.

    ``line_node`` and ``island_node`` are the nodes of the graph on either side.
    None: not stated.
    """

    tag: str
    word: str
    line_node: str
    island_node: str
    rating_a: Value | None
    poles: int | None
    switches_neutral: bool | None
    listed_as: frozenset[str]
    at: ProjectLine | None = None

    @property
    def is_listed(self) -> bool | None:
        """Whether it is listed as a microgrid interconnect device; None where the project names no listing."""
        return INTERCONNECT_LISTING in self.listed_as if self.listed_as else None


def islanding_switches(equipment: Mapping[str, Equipment]) -> tuple[IslandingSwitch, ...]:
    """Return what islands, in the order of the file."""
    found = (_switch_of(item) for item in equipment.values())
    return tuple(switch for switch in found if switch is not None)


def _switch_of(item: Equipment) -> IslandingSwitch | None:
    if isinstance(item, MicrogridInterconnectDevice):
        return IslandingSwitch(
            tag=item.tag,
            word="contactor",
            line_node=f"{item.tag}.line",
            island_node=f"{item.tag}.bus",
            rating_a=item.contactor_rating_a,
            poles=item.contactor_poles,
            switches_neutral=item.contactor_switches_neutral,
            listed_as=item.listed_as,
            at=item.at,
        )
    if isinstance(item, Inverter) and item.output_node != item.line_node:
        relay = item.relay
        return IslandingSwitch(
            tag=item.tag,
            word="transfer relay",
            line_node=item.line_node,
            island_node=item.output_node,
            rating_a=relay.carries_a if relay is not None else None,
            poles=relay.poles if relay is not None else None,
            switches_neutral=relay.switches_neutral if relay is not None else None,
            listed_as=(relay.listed_as if relay is not None else frozenset()) | item.listed_as,
            at=item.at,
        )
    return None
