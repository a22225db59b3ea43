"""Meter-mains: meter, main and a panelboard in one enclosure."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from permitgen.system.equipment.panelboard import Panelboard


@dataclass(frozen=True, slots=True, kw_only=True)
class MeterMain(Panelboard):
    """A panelboard whose enclosure holds the meter too, ahead of the main: the utility's conductors end on the terminal ``line``.

    ``main`` None means that the breakers on the busbar disconnect the service. ``feed_through`` are the through-feed lugs at the
    end of the busbar.
    """

    kind: ClassVar[str] = "meter_main"
    supply_terminal: ClassVar[str] = "line"
    directory_supply: ClassVar[str] = "line"
    is_metering: ClassVar[bool] = True
    fixed_terminals: ClassVar[tuple[str, ...]] = ("line", "feed_through")
    tag_alone_is_a_space: ClassVar[bool] = False
    scope_order: ClassVar[int | None] = 10
