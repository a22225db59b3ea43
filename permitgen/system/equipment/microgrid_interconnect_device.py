"""The device that islands the house: a small graph of its own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import TYPE_CHECKING, ClassVar, Self

from permitgen.system.busbar import Busbar
from permitgen.system.equipment.equipment import DrawnAs, Equipment
from permitgen.system.handle import Handle
from permitgen.system.link import Link
from permitgen.system.operating_mode import OperatingMode

if TYPE_CHECKING:
    from permitgen.system.circuit import End
    from permitgen.system.equipment.autotransformer import Autotransformer
    from permitgen.system.neutral_bond import NeutralBond
    from permitgen.system.overcurrent_device import OvercurrentDevice
    from permitgen.values.value import Value

# In which modes the relay of a source terminal is closed where the catalog does not say otherwise: a generator never runs
# in parallel with the utility, and photovoltaic sources are kept off a generator that cannot take their power. That is what is
# usual: documents draw it, and a rule that needs to know asks (``UNSAID_MODES``).
USUAL_MODES: Mapping[str, frozenset[OperatingMode]] = {
    "photovoltaic": frozenset({OperatingMode.WITH_UTILITY, OperatingMode.ISLANDED}),
    "energy storage": frozenset({OperatingMode.WITH_UTILITY, OperatingMode.ISLANDED}),
    "generator": frozenset({OperatingMode.ON_GENERATOR}),
}
# Of which modes the kind of a terminal says nothing: whether the relay of a source opens for a generator is the maker's choice; one
# that is made for any source may be closed in every mode. A terminal for a generator is transfer equipment by its listing.
UNSAID_MODES: Mapping[str, frozenset[OperatingMode]] = {
    "photovoltaic": frozenset({OperatingMode.ON_GENERATOR}),
    "energy storage": frozenset({OperatingMode.ON_GENERATOR}),
    "generator": frozenset(),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class MicrogridInterconnectDevice(Equipment):
    """Supply terminals or main breaker, contactor, source terminals ahead of their relays, busbar, load terminals.

    Terminals: ``supply``, one per source (``terminals`` with ``accepts``), ``load``; breakers on the busbar have positions.
    ``contactor_switches_neutral`` None means not stated; where it does switch, ``neutral_bond`` is on the supply side and
    ``island_bond`` on the side of the busbar. ``relay_modes`` overrides ``USUAL_MODES`` by terminal.
    """

    kind: ClassVar[str] = "microgrid_interconnect_device"
    is_enclosure: ClassVar[bool] = True
    is_assembly: ClassVar[bool] = True
    holds_devices: ClassVar[bool] = True
    is_cabinet_with_bus: ClassVar[bool] = True
    transfers: ClassVar[bool] = True
    fixed_terminals: ClassVar[tuple[str, ...]] = ("supply", "load")
    has_positions: ClassVar[bool] = True
    directory_names: ClassVar[Mapping[str, tuple[str, ...]] | None] = MappingProxyType(
        {"main": ("main",), "load": ("load_device",), "autotransformer": ("autotransformer", "breaker")}
    )
    directory_supply: ClassVar[str] = "supply"
    has_two_columns: ClassVar[bool] = True
    tag_alone_is_a_space: ClassVar[bool] = True
    is_ac_only: ClassVar[bool] = True
    carries_loads: ClassVar[bool] = True
    neutral_bar_at: ClassVar[tuple[str, ...]] = ("supply", "bus")
    switched_terminal: ClassVar[str] = "bus"
    scope_order: ClassVar[int | None] = 6
    drawn_as: ClassVar[DrawnAs] = "interconnect device"
    has_serial_number: ClassVar[bool] = True
    has_firmware: ClassVar[bool] = True

    main: OvercurrentDevice | None = None
    contactor_rating_a: Value | None = None
    contactor_poles: int | None = None
    contactor_switches_neutral: bool | None = None
    contactor_short_circuit_ka: Value | None = None
    island_bond: NeutralBond | None = None
    busbar_rating_a: Value | None = None
    supply_end: str = "top"
    spaces: int | None = None
    largest_breaker_a: Value | None = None
    listed_supply_a: Value | None = None
    listed_sources_a: Value | None = None
    autotransformer: Autotransformer | None = None
    load_device: OvercurrentDevice | None = None
    largest_load_device_a: Value | None = None
    relay_modes: Mapping[str, frozenset[OperatingMode]] | None = None

    def node_of(self, end: End) -> str:
        """Named terminals are nodes of their own; a breaker position lands on the busbar."""
        if end.position is not None:
            return f"{self.tag}.bus"
        return f"{self.tag}.{end.terminal or 'bus'}"

    def source_terminals(self) -> tuple[str, ...]:
        """Return the names of the terminals made for a source, in catalog order."""
        return tuple(name for name, terminal in self.terminals.items() if terminal.accepts)

    @property
    def supply_main(self) -> OvercurrentDevice | None:
        """The main of its supply; None behind lugs."""
        return self.main

    def links(self, landed: Mapping[str, OvercurrentDevice | None]) -> tuple[Link, ...]:
        """Return the inner connections: main, contactor, relays, load terminals, autotransformer."""
        tag = self.tag
        switched = bool(self.contactor_switches_neutral)
        links = [
            Link(
                first=f"{tag}.supply",
                second=f"{tag}.line",
                part=f"{tag} main" if self.main else f"{tag} supply lugs",
                device=self.main,
                handle=f"{tag}.main" if self.main else "",
            ),
            Link(
                first=f"{tag}.line",
                second=f"{tag}.bus",
                part=f"{tag} contactor",
                switch=f"{tag}.contactor",
                closed_in=frozenset({OperatingMode.WITH_UTILITY}),
                switches_neutral=switched,
            ),
            Link(
                first=f"{tag}.bus",
                second=f"{tag}.load",
                part=f"{tag} load terminals",
                device=self.load_device,
                handle=f"{tag}.load" if self.load_device else "",
            ),
        ]
        for name in self.source_terminals():
            terminal = self.terminals[name]
            stated = (self.relay_modes or {}).get(name)
            modes = USUAL_MODES.get(terminal.accepts, frozenset(OperatingMode)) if stated is None else stated
            unsaid = UNSAID_MODES.get(terminal.accepts, frozenset(OperatingMode)) if stated is None else frozenset()
            device = landed.get(name) or terminal.built_in
            handle = f"{tag}.{name}" if device is not None else ""
            links.append(
                Link(
                    first=f"{tag}.{name}",
                    second=f"{tag}.bus",
                    part=f"{tag} relay {terminal.relay or name}",
                    device=device,
                    handle=handle,
                    switch=f"{tag}.{name}",
                    closed_in=modes,
                    unsaid_in=unsaid,
                )
            )
        if self.autotransformer is not None:
            links.append(
                Link(
                    first=f"{tag}.bus",
                    second=f"{tag}.autotransformer",
                    part=f"{tag} autotransformer",
                    device=self.autotransformer.device,
                    handle=f"{tag}.autotransformer",
                )
            )
        return tuple(links)

    def holds(self, device: OvercurrentDevice) -> bool:
        """The device of the autotransformer is one of its own, too."""
        # a class with slots is made anew by its decorator: super() without arguments would still mean the former one
        held = super(MicrogridInterconnectDevice, self).holds(device)
        return held or (self.autotransformer is not None and self.autotransformer.device is device)

    def with_device(self, old: OvercurrentDevice, new: OvercurrentDevice) -> Self:
        """The device of the autotransformer is one of its own, too."""
        changed = super(MicrogridInterconnectDevice, self).with_device(old, new)
        former = changed.autotransformer
        return replace(changed, autotransformer=replace(former, device=new)) if former is not None and former.device is old else changed

    def busbars(self) -> tuple[Busbar, ...]:
        """The internal busbar."""
        return (
            Busbar(
                tag=self.tag,
                node=f"{self.tag}.bus",
                rating_a=self.busbar_rating_a,
                supply_end=self.supply_end,
                spaces=self.spaces,
                largest_breaker_a=self.largest_breaker_a,
                listed_supply_a=self.listed_supply_a,
                listed_sources_a=self.listed_sources_a,
                at=self.where.get("busbar", self.at),
            ),
        )

    def handles(self) -> tuple[Handle, ...]:
        """Main breaker, load breaker, source breakers and autotransformer breaker inside the enclosure."""
        found = []
        if self.main is not None:
            found.append(
                Handle(id=f"{self.tag}.main", tag=self.tag, name=f"{self.name} main breaker", kind="main breaker", place=self.place)
            )
        if self.load_device is not None:
            found.append(Handle(id=f"{self.tag}.load", tag=self.tag, name=f"{self.name} load breaker", kind="breaker", place=self.place))
        found.extend(
            Handle(id=f"{self.tag}.{name}", tag=self.tag, name=f"breaker at terminal {name}", kind="breaker", place=self.place)
            for name in self.source_terminals()
        )
        if self.autotransformer is not None:
            found.append(
                Handle(id=f"{self.tag}.autotransformer", tag=self.tag, name="autotransformer breaker", kind="breaker", place=self.place)
            )
        return tuple(found)
