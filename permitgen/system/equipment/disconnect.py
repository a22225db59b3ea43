"""Disconnect switches, transfer switches, rapid shutdown initiators."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, ClassVar

from permitgen.system.equipment.equipment import DrawnAs, Equipment
from permitgen.system.handle import Handle
from permitgen.system.link import Link
from permitgen.system.operating_mode import OperatingMode

if TYPE_CHECKING:
    from permitgen.system.circuit import End
    from permitgen.system.overcurrent_device import OvercurrentDevice
    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True, kw_only=True)
class Disconnect(Equipment):
    """A switch or breaker in its own enclosure between the terminals ``line`` and ``load``.

    ``device`` None means unfused. ``purpose`` sorts it on the placard (``pv system``, ``energy storage``, ``service`` …).
    """

    kind: ClassVar[str] = "disconnect"
    is_enclosure: ClassVar[bool] = True
    is_assembly: ClassVar[bool] = True
    holds_devices: ClassVar[bool] = True
    is_switch: ClassVar[bool] = True
    can_disconnect_building: ClassVar[bool] = True
    door_lays_live_parts_bare: ClassVar[bool] = True
    fixed_terminals: ClassVar[tuple[str, ...]] = ("line", "load")
    directory_names: ClassVar[Mapping[str, tuple[str, ...]] | None] = MappingProxyType({"fuses": ("device",), "breaker": ("device",)})
    leads_on: ClassVar[bool] = True
    carries_loads: ClassVar[bool] = True
    neutral_bar_at: ClassVar[tuple[str, ...]] = ("line",)
    drawn_as: ClassVar[DrawnAs] = "disconnect"

    rating_a: Value | None = None
    device: OvercurrentDevice | None = None
    poles: int | None = None
    switches_neutral: bool = False
    purpose: str = ""
    lockable: bool | None = None
    is_load_break: bool | None = None
    voltage_v: Value | None = None

    def node_of(self, end: End) -> str:
        """Terminals ``line`` and ``load``."""
        return f"{self.tag}.{end.terminal or 'line'}"

    def links(self, landed: Mapping[str, OvercurrentDevice | None]) -> tuple[Link, ...]:
        """The blades."""
        return (
            Link(
                first=f"{self.tag}.line",
                second=f"{self.tag}.load",
                part=f"{self.tag} switch",
                device=self.device,
                handle=self.tag,
                switches_neutral=self.switches_neutral,
            ),
        )

    @property
    def _action(self) -> str:
        """A breaker in an enclosure of its own is turned, a switch pulled."""
        return "turn OFF" if self.device is not None and self.device.kind == "circuit breaker" else "pull handle to OFF"

    def handles(self) -> tuple[Handle, ...]:
        """The handle; its purpose decides its kind."""
        kinds = {
            "service": "service disconnect",
            "energy storage": "energy storage disconnect",
            "pv system": "source disconnect",
            "generator": "source disconnect",
        }
        kind = kinds.get(self.purpose, "disconnect")
        return (
            Handle(id=self.tag, tag=self.tag, name=self.name, kind=kind, place=self.place, action=self._action, lockable=self.lockable),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class TransferSwitch(Equipment):
    """A two-position switch: ``normal`` or ``alternate`` to ``load``. ``switches_neutral`` None means not stated."""

    kind: ClassVar[str] = "transfer_switch"
    is_enclosure: ClassVar[bool] = True
    is_assembly: ClassVar[bool] = True
    holds_devices: ClassVar[bool] = True
    is_switch: ClassVar[bool] = True
    transfers: ClassVar[bool] = True
    fixed_terminals: ClassVar[tuple[str, ...]] = ("normal", "alternate", "load")
    directory_names: ClassVar[Mapping[str, tuple[str, ...]] | None] = MappingProxyType({"main": ("device",)})
    directory_supply: ClassVar[str] = "normal"
    is_ac_only: ClassVar[bool] = True
    carries_loads: ClassVar[bool] = True
    neutral_bar_at: ClassVar[tuple[str, ...]] = ("load",)
    switched_terminal: ClassVar[str] = "load"
    scope_order: ClassVar[int | None] = 7
    drawn_as: ClassVar[DrawnAs] = "transfer switch"
    has_serial_number: ClassVar[bool] = True

    rating_a: Value | None = None
    device: OvercurrentDevice | None = None
    switches_neutral: bool | None = None
    is_automatic: bool | None = None
    poles: int | None = None

    def node_of(self, end: End) -> str:
        """Terminals ``normal``, ``alternate`` and ``load``."""
        return f"{self.tag}.{end.terminal or 'load'}"

    @property
    def bonds_ahead_of_neutral_pole(self) -> bool:
        """Whether it holds the service disconnect and opens the neutral.

        The main bonding jumper is then on the service's neutral, ahead of the pole that opens (NEC 250.24).
        """
        return bool(self.switches_neutral) and (self.device is not None or "service equipment" in self.roles)

    @property
    def supply_main(self) -> OvercurrentDevice | None:
        """The breaker built into its normal side, where there is one."""
        return self.device

    def links(self, landed: Mapping[str, OvercurrentDevice | None]) -> tuple[Link, ...]:
        """One position at a time."""
        switched = bool(self.switches_neutral)
        normal = frozenset({OperatingMode.WITH_UTILITY, OperatingMode.ISLANDED})
        alternate = frozenset({OperatingMode.ON_GENERATOR})
        return (
            Link(
                first=f"{self.tag}.normal",
                second=f"{self.tag}.load",
                part=f"{self.tag} normal",
                device=self.device,
                handle=f"{self.tag}.main" if self.device else "",
                switch=f"{self.tag}.normal",
                closed_in=normal,
                switches_neutral=switched,
            ),
            Link(
                first=f"{self.tag}.alternate",
                second=f"{self.tag}.load",
                part=f"{self.tag} alternate",
                switch=f"{self.tag}.alternate",
                closed_in=alternate,
                switches_neutral=switched,
            ),
        )

    def handles(self) -> tuple[Handle, ...]:
        """The service breaker built into it, where there is one."""
        if self.device is None:
            return ()
        return (
            Handle(
                id=f"{self.tag}.main", tag=self.tag, name=f"{self.name} breaker", kind="main breaker", place=self.place, action="turn OFF"
            ),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class RapidShutdownInitiator(Equipment):
    """The device whose off position starts rapid shutdown of the arrays in ``shuts_down``.

    ``also_stops`` are other sources the same device shuts down (storage units by their listed emergency function).
    """

    kind: ClassVar[str] = "rapid_shutdown_initiator"
    is_enclosure: ClassVar[bool] = True
    is_switch: ClassVar[bool] = True
    needs_no_circuit: ClassVar[bool] = True
    drawn_as: ClassVar[DrawnAs] = "initiator"
    label_is_photographed: ClassVar[bool] = True

    shuts_down: tuple[str, ...] = ()
    also_stops: tuple[str, ...] = ()
    lockable: bool | None = None
    poles: int | None = None

    def handles(self) -> tuple[Handle, ...]:
        """The switch."""
        return (
            Handle(
                id=self.tag,
                tag=self.tag,
                name=self.name,
                kind="rapid shutdown initiator",
                place=self.place,
                action="turn to OFF",
                stops=self.shuts_down + self.also_stops,
                lockable=self.lockable,
            ),
        )
