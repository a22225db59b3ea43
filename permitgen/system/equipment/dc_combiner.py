"""Dc combiners: the busbar on which the dc circuits of several batteries meet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, ClassVar

from permitgen.system.equipment.equipment import DrawnAs, Equipment

if TYPE_CHECKING:
    from permitgen.system.circuit import End
    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True, kw_only=True)
class DCCombiner(Equipment):
    """An enclosure with one dc busbar; batteries and inverters land on its ``spaces``, each with the fuse or breaker of its circuit.

    It is no busbar of the ac system: the rules for sources on the busbars of panelboards do not bind it. ``marked_v`` is the dc voltage
    for which it is marked.
    """

    kind: ClassVar[str] = "dc_combiner"
    is_enclosure: ClassVar[bool] = True
    is_assembly: ClassVar[bool] = True
    holds_devices: ClassVar[bool] = True
    has_positions: ClassVar[bool] = True
    directory_names: ClassVar[Mapping[str, tuple[str, ...]] | None] = MappingProxyType({})
    door_lays_live_parts_bare: ClassVar[bool] = True
    leads_on: ClassVar[bool] = True
    frame_bond_is_measured: ClassVar[bool] = True
    scope_order: ClassVar[int | None] = 11
    drawn_as: ClassVar[DrawnAs] = "panelboard"

    busbar_rating_a: Value | None = None
    marked_v: Value | None = None
    spaces: int | None = None

    @property
    def bus_node(self) -> str:
        """The node of the graph that the busbar is."""
        return f"{self.tag}.bus"

    def node_of(self, end: End) -> str:
        """Everything lands on the one busbar."""
        return self.bus_node
