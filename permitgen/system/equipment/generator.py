"""Standby generators and power inlets."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, ClassVar

from permitgen.system.equipment.equipment import DrawnAs, Equipment
from permitgen.system.handle import Handle
from permitgen.system.link import Link
from permitgen.system.power_source import PowerSource

if TYPE_CHECKING:
    from permitgen.system.circuit import End
    from permitgen.system.overcurrent_device import OvercurrentDevice
    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True, kw_only=True)
class Generator(Equipment):
    """A generator. ``output_a`` is its nameplate current; ``device`` the overcurrent device built into it.

    ``device_protects_from_overload`` says that the built-in device limits it to its nameplate, which frees the conductors from
    the 115 percent rule. ``subtransient_reactance_percent`` is X''d.
    """

    kind: ClassVar[str] = "generator"
    is_enclosure: ClassVar[bool] = True
    directory_names: ClassVar[Mapping[str, tuple[str, ...]] | None] = MappingProxyType({"breaker": ("breaker",)})
    is_ac_only: ClassVar[bool] = True
    neutral_bar_at: ClassVar[tuple[str, ...]] = ("windings",)
    is_of_a_building: ClassVar[bool] = False
    scope_order: ClassVar[int | None] = 4
    drawn_as: ClassVar[DrawnAs] = "generator"
    has_serial_number: ClassVar[bool] = True
    has_firmware: ClassVar[bool] = True
    frame_bond_is_measured: ClassVar[bool] = True
    label_is_photographed: ClassVar[bool] = True

    output_a: Value | None = None
    output_va: Value | None = None
    output_v: Value | None = None
    device: OvercurrentDevice | None = None
    subtransient_reactance_percent: Value | None = None
    has_outside_stop: bool | None = None
    has_disconnect: bool | None = None
    is_portable: bool = False

    def node_of(self, end: End) -> str:
        """One output."""
        return f"{self.tag}.output"

    def links(self, landed: Mapping[str, OvercurrentDevice | None]) -> tuple[Link, ...]:
        """Windings to output through the built-in device."""
        handle = f"{self.tag}.breaker" if self.device is not None else ""
        return (
            Link(first=f"{self.tag}.windings", second=f"{self.tag}.output", part=f"{self.tag} breaker", device=self.device, handle=handle),
        )

    def sources(self) -> tuple[PowerSource, ...]:
        """The machine."""
        return (
            PowerSource(
                id=self.tag,
                tag=self.tag,
                name=self.name,
                kind="generator",
                node=f"{self.tag}.windings",
                output_a=self.output_a,
                output_v=self.output_v,
                forms_island=True,
            ),
        )

    def handles(self) -> tuple[Handle, ...]:
        """The emergency stop outside and the built-in breaker."""
        found = []
        if self.has_outside_stop:
            found.append(
                Handle(
                    id=f"{self.tag}.stop",
                    tag=self.tag,
                    name=f"{self.name} emergency shutdown",
                    kind="generator stop",
                    place=self.place,
                    action="press STOP",
                    stops=(self.tag,),
                )
            )
        if self.device is not None:
            found.append(
                Handle(
                    id=f"{self.tag}.breaker", tag=self.tag, name=f"{self.name} breaker", kind="breaker", place=self.place, action="turn OFF"
                )
            )
        return tuple(found)


@dataclass(frozen=True, slots=True, kw_only=True)
class PowerInlet(Equipment):
    """A flanged inlet on the wall into which the cord of a portable generator is plugged.

    ``generator`` is the tag of the machine that it takes, empty where the project does not say; ``rating_a`` the current for which
    inlet and cord are made. The cord is no premises wiring: it is the connection between the machine's outlet and the pins.
    """

    kind: ClassVar[str] = "power_inlet"
    is_enclosure: ClassVar[bool] = True
    is_ac_only: ClassVar[bool] = True
    scope_order: ClassVar[int | None] = 5
    drawn_as: ClassVar[DrawnAs] = "power inlet"
    label_is_photographed: ClassVar[bool] = True

    rating_a: Value | None = None
    generator: str = ""

    @property
    def pins(self) -> str:
        """The node of the pins."""
        return f"{self.tag}.pins"

    def node_of(self, end: End) -> str:
        """Circuits land behind the pins."""
        return self.pins

    def links(self, landed: Mapping[str, OvercurrentDevice | None]) -> tuple[Link, ...]:
        """The cord, which the plug opens."""
        if not self.generator:
            return ()
        return (Link(first=f"{self.generator}.output", second=self.pins, part=f"{self.tag} plug", handle=self.tag),)

    def handles(self) -> tuple[Handle, ...]:
        """The plug: what disconnects a portable generator."""
        if not self.generator:
            return ()
        action = "stop the generator, then pull its plug"
        return (Handle(id=self.tag, tag=self.tag, name=self.name, kind="generator plug", place=self.place, action=action),)
