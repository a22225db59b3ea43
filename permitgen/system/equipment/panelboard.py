"""Panelboards: service panels, feeder-supplied panels, combiner panels."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, ClassVar

from permitgen.system.busbar import Busbar
from permitgen.system.equipment.equipment import DrawnAs, Equipment
from permitgen.system.handle import Handle
from permitgen.system.link import Link
from permitgen.system.operating_mode import ALL_MODES, OperatingMode

if TYPE_CHECKING:
    from permitgen.system.circuit import End
    from permitgen.system.overcurrent_device import OvercurrentDevice
    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True, kw_only=True)
class Panelboard(Equipment):
    """A panelboard. ``main`` None means main lugs only. A main breaker has the handle ``TAG.main``.

    The circuit that supplies it ends on the terminal ``supply_terminal``; branch circuits end on positions. ``interlocked_position`` is the
    breaker of a power inlet that a listed interlock keeps open while the main is closed.
    """

    kind: ClassVar[str] = "panelboard"
    is_enclosure: ClassVar[bool] = True
    is_assembly: ClassVar[bool] = True
    holds_devices: ClassVar[bool] = True
    is_cabinet_with_bus: ClassVar[bool] = True
    # The terminal on which the circuit that supplies it ends.
    supply_terminal: ClassVar[str] = "main"
    directory_names: ClassVar[Mapping[str, tuple[str, ...]] | None] = MappingProxyType({"main": ("main",)})
    directory_supply: ClassVar[str] = "main"
    has_two_columns: ClassVar[bool] = True
    fixed_terminals: ClassVar[tuple[str, ...]] = ("main", "feed_through")
    has_positions: ClassVar[bool] = True
    tag_alone_is_a_space: ClassVar[bool] = True
    can_disconnect_building: ClassVar[bool] = True
    is_ac_only: ClassVar[bool] = True
    carries_loads: ClassVar[bool] = True
    neutral_bar_at: ClassVar[tuple[str, ...]] = ("bus",)
    scope_order: ClassVar[int | None] = 9
    drawn_as: ClassVar[DrawnAs] = "panelboard"

    busbar_rating_a: Value | None = None
    main: OvercurrentDevice | None = None
    has_main_lugs_only: bool = False
    supply_end: str = "top"
    spaces: int | None = None
    largest_breaker_a: Value | None = None
    has_feed_through_lugs: bool = False
    interlocked_position: int | None = None

    def modes_of(self, end: End) -> frozenset[OperatingMode]:
        """Return the modes of a breaker: the breaker of a power inlet that is interlocked with the main is closed on the generator only."""
        interlocked = self.interlocked_position is not None and end.position == self.interlocked_position
        return frozenset({OperatingMode.ON_GENERATOR}) if interlocked else ALL_MODES

    def node_of(self, end: End) -> str:
        """The supply terminal and ``feed_through`` are terminals; everything else is a breaker on the bus."""
        return f"{self.tag}.{end.terminal}" if end.terminal in (self.supply_terminal, "feed_through") else f"{self.tag}.bus"

    @property
    def supply_main(self) -> OvercurrentDevice | None:
        """The main; None behind main lugs."""
        return self.main

    def links(self, landed: Mapping[str, OvercurrentDevice | None]) -> tuple[Link, ...]:
        """Main breaker or lugs to the bus, and feed-through lugs where there are any."""
        main = Link(
            first=f"{self.tag}.{self.supply_terminal}",
            second=f"{self.tag}.bus",
            part=f"{self.tag} main",
            device=self.main,
            handle=f"{self.tag}.main" if self.main is not None else "",
            closed_in=ALL_MODES if self.interlocked_position is None else ALL_MODES - {OperatingMode.ON_GENERATOR},
        )
        through = Link(first=f"{self.tag}.bus", second=f"{self.tag}.feed_through", part=f"{self.tag} feed-through lugs")
        return (main, through) if self.has_feed_through_lugs else (main,)

    def busbars(self) -> tuple[Busbar, ...]:
        """The one busbar."""
        return (
            Busbar(
                tag=self.tag,
                node=f"{self.tag}.bus",
                rating_a=self.busbar_rating_a,
                supply_end=self.supply_end,
                spaces=self.spaces,
                largest_breaker_a=self.largest_breaker_a,
                has_feed_through_lugs=self.has_feed_through_lugs,
                at=self.where.get("busbar", self.at),
            ),
        )

    def handles(self) -> tuple[Handle, ...]:
        """The main breaker."""
        if self.main is None:
            return ()
        return (Handle(id=f"{self.tag}.main", tag=self.tag, name=f"{self.name} main breaker", kind="main breaker", place=self.place),)
