"""String, hybrid and battery inverters with their ports."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, ClassVar

from permitgen.system.equipment.equipment import DrawnAs
from permitgen.system.equipment.held_output import HeldOutput
from permitgen.system.equipment.port import Port, TransferRelay
from permitgen.system.link import Link
from permitgen.system.operating_mode import ALL_MODES, OperatingMode
from permitgen.system.power_source import PowerSource

if TYPE_CHECKING:
    from permitgen.system.circuit import End
    from permitgen.system.overcurrent_device import OvercurrentDevice
    from permitgen.values.value import Value

_WITHOUT_UTILITY = frozenset({OperatingMode.ISLANDED, OperatingMode.ON_GENERATOR})


@dataclass(frozen=True, slots=True, kw_only=True)
class Inverter(HeldOutput):
    """A string, hybrid or battery inverter with named ``ports``; ``functions`` may hold ``multimode``.

    Where the project describes no ports, the terminal ``ac`` is the utility port and every other terminal a dc input. ``relay`` parts
    utility and load port when the utility is lost; the converters then feed the load port. ``limit_a`` is the current a listed power
    control system holds it to.
    """

    kind: ClassVar[str] = "inverter"
    is_enclosure: ClassVar[bool] = True
    fixed_terminals: ClassVar[tuple[str, ...]] = ("ac",)
    working_space_is_advised: ClassVar[bool] = True
    scope_order: ClassVar[int | None] = 2
    drawn_as: ClassVar[DrawnAs] = "inverter"
    has_serial_number: ClassVar[bool] = True
    has_firmware: ClassVar[bool] = True
    frame_bond_is_measured: ClassVar[bool] = True
    label_is_photographed: ClassVar[bool] = True

    ports: Mapping[str, Port] = field(default_factory=dict)
    relay: TransferRelay | None = None
    output_va: Value | None = None
    output_v: Value | None = None
    functions: frozenset[str] = frozenset({"interactive"})
    largest_dc_input_v: Value | None = None
    largest_input_a: Value | None = None
    largest_short_circuit_a: Value | None = None
    lowest_dc_input_v: Value | None = None
    efficiency_percent: Value | None = None
    largest_device_a: Value | None = None
    fault_current_a: Value | None = None
    has_arc_fault_protection: bool | None = None
    has_ground_fault_protection: bool | None = None
    dc_backfeed_a: Value | None = None
    is_listed_interactive: bool | None = None
    forms_neutral: bool | None = None
    trip_hz: Value | None = None
    droop_percent: Value | None = None
    energy: str = "photovoltaic"

    def port_of_kind(self, kind: str) -> Port | None:
        """Return the first port of a kind, None where there is none."""
        return next((port for port in self.ports.values() if port.kind == kind), None)

    @property
    def utility_port(self) -> str:
        """The name of the port toward the utility; ``ac`` where none is described."""
        port = self.port_of_kind("utility")
        return port.name if port is not None else "ac"

    @property
    def dc_inputs(self) -> tuple[str, ...]:
        """The names of the dc ports, in the order of the data sheet."""
        if self.ports:
            return tuple(port.name for port in self.ports.values() if not port.is_ac)
        return tuple(name for name in self.terminals if name != "ac")

    def is_dc_at(self, terminal: str) -> bool:
        """Whether a terminal carries direct current."""
        return terminal in self.dc_inputs if self.ports else bool(terminal) and terminal != "ac"

    @property
    def output_node(self) -> str:
        """The node of the graph on which the converters give their ac: the load port where a relay parts it from the utility."""
        load = self.port_of_kind("load")
        return f"{self.tag}.{load.name}" if load is not None else f"{self.tag}.{self.utility_port}"

    @property
    def source_bond_node(self) -> str:
        """On the side of its converters."""
        return self.output_node

    @property
    def line_node(self) -> str:
        """The node of the graph toward the utility."""
        return f"{self.tag}.{self.utility_port}"

    def node_of(self, end: End) -> str:
        """Ports are nodes; an end that names none lands on the one toward the utility."""
        return f"{self.tag}.{end.terminal or self.utility_port}"

    def links(self, landed: Mapping[str, OvercurrentDevice | None]) -> tuple[Link, ...]:
        """Every dc input feeds the ac output through the converter; relays join the ac ports."""
        found = [
            Link(
                first=f"{self.tag}.{name}", second=self.output_node, part=f"{self.tag} converter", carries_neutral=False, is_converter=True
            )
            for name in self.dc_inputs
        ]
        if self.output_node != self.line_node:
            found.append(self._relay_link())
        generator = self.port_of_kind("generator")
        if generator is not None:
            found.append(
                Link(
                    first=f"{self.tag}.{generator.name}",
                    second=self.output_node,
                    part=f"{self.tag} generator relay",
                    switch=f"{self.tag}.generator_relay",
                    closed_in=frozenset({OperatingMode.ON_GENERATOR}),
                )
            )
        return tuple(found)

    def _relay_link(self) -> Link:
        """The relay opens in the island; without a port of its own a generator comes in by the utility port, and the relay is closed.

        An inverter that has a load port has something that parts it, described or not; rules ask for the description.
        """
        opens_in = _WITHOUT_UTILITY if self.port_of_kind("generator") is not None else frozenset({OperatingMode.ISLANDED})
        return Link(
            first=self.line_node,
            second=self.output_node,
            part=f"{self.tag} transfer relay",
            switch=f"{self.tag}.transfer_relay",
            closed_in=ALL_MODES - opens_in,
            switches_neutral=self.relay is not None and bool(self.relay.switches_neutral),
        )

    def sources(self) -> tuple[PowerSource, ...]:
        """The ac output, counted once however many dc circuits feed it."""
        load, utility = self.port_of_kind("load"), self.port_of_kind("utility")
        islands = any(port.when_lost == "islands" for port in self.ports.values())
        return (
            PowerSource(
                id=self.tag,
                tag=self.tag,
                name=self.name,
                kind=self.energy,
                node=self.output_node,
                output_a=(utility.largest_output_a if utility is not None else None) or self.output_a,
                island_output_a=load.largest_output_a if load is not None else None,
                output_v=self.output_v,
                forms_island=islands or "multimode" in self.functions,
                fault_current_a=self.fault_current_a,
                limit_a=self.limit_a,
            ),
        )
