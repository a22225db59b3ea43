"""Ways into and out of equipment: the parts that lie between a terminal and the inside, with their texts and their step on the placard."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.system.equipment.inverter import Inverter
from permitgen.system.equipment.microgrid_interconnect_device import MicrogridInterconnectDevice
from permitgen.system.equipment.panelboard import Panelboard
from permitgen.views.one_line import Lead, Part, PartKind, Way
from permitgen.views.one_line_stated import marks_at
from permitgen.views.one_line_text import conductor_lines, control_lines, device_text, interrupting_text
from permitgen.views.wording import value_text

if TYPE_CHECKING:
    from permitgen.system.circuit import Circuit, End
    from permitgen.system.control_circuit import ControlCircuit
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.overcurrent_device import OvercurrentDevice
    from permitgen.system.system import System

CONTROL_NODE = "control"
NEUTRAL_NAME, GROUND_NAME = "N", "G"
_LEGS = ("L1", "L2", "L3")


def conductor_names(circuit: Circuit) -> tuple[str, ...]:
    """Return the names of the conductors of a circuit, ungrounded ones first.

    A single ungrounded conductor takes its leg from the breaker's space: the legs alternate down a panelboard (common practice,
    no published source).
    """
    conductors = circuit.conductors
    count = conductors.ungrounded_count
    if circuit.is_dc:
        hot: tuple[str, ...] = ("+", "−")[:count]
    elif count == 1:
        position = next((end.position for end in circuit.ends if end.position is not None), 1)
        hot = (_LEGS[((position + 1) // 2 + 1) % 2],)
    else:
        hot = _LEGS[:count]
    neutral = (NEUTRAL_NAME,) if conductors.neutral else ()
    ground = (GROUND_NAME,) if conductors.egc_size is not None else ()
    return (*hot, *neutral, *ground)


# Terminals of which the drawing says more than the key of the project file.
_TERMINAL_WORDS = {"feed_through": "feed-through lugs"}


@dataclass(frozen=True)
class Wiring:
    """Writes ways and leads of one system. ``steps`` holds the placard's number of each handle."""

    system: System
    steps: Mapping[str, str]

    def way(self, item: Equipment, circuit: Circuit, end: End, lead: Lead | None) -> Way:
        """Return the way on which ``circuit`` lands at ``end``."""
        terminal = str(end.position) if end.position is not None else _TERMINAL_WORDS.get(end.terminal, end.terminal)
        return Way(
            terminal=terminal,
            parts=self._parts(item, circuit, end),
            lead=lead,
            node=item.node_of(end),
            conductors=conductor_names(circuit),
        )

    def lead(self, circuit: Circuit, near: End) -> Lead:
        """Return the conductors of a circuit as drawn away from ``near``."""
        full, brief = conductor_lines(self.system, circuit)
        far = next(end for end in circuit.ends[::-1] if end is not near)
        return Lead(
            tags=(circuit.tag,),
            kind="dc" if circuit.is_dc else "power",
            full=full,
            brief=brief,
            near=self._on_the_wire(circuit, near),
            far=self._on_the_wire(circuit, far),
            is_existing=circuit.existing,
        )

    def control_way(self, controls: tuple[ControlCircuit, ...], *, with_lead: bool) -> Way:
        """Return the way of control circuits that run side by side."""
        full, brief = control_lines(self.system, controls)
        lead = Lead(tags=tuple(c.tag for c in controls), kind="control", full=full, brief=brief) if with_lead else None
        return Way(terminal="", lead=lead, node=CONTROL_NODE)

    def cord_way(self, *, with_lead: bool) -> Way:
        """Return the way of a cord with its plug: no circuit of the premises."""
        lead = Lead(tags=(), kind="power", full=("cord and plug",), brief=("cord",)) if with_lead else None
        return Way(terminal="", lead=lead, node="cord", conductors=("L1", "L2", NEUTRAL_NAME, GROUND_NAME))

    def _parts(self, item: Equipment, circuit: Circuit, end: End) -> tuple[Part, ...]:
        """Return the parts from the inside outward."""
        if isinstance(item, MicrogridInterconnectDevice):
            return self._interconnect_parts(item, circuit, end)
        if isinstance(item, Inverter):
            return _relays(item, end)
        if item.has_positions:
            if isinstance(item, Panelboard) and end.terminal == item.supply_terminal:
                main = (self.breaker(item.main, f"{item.tag}.main", "MAIN"),) if item.main is not None else ()
                return (*main, Part("meter")) if item.is_metering else main
            device = _device_at(circuit, end)
            return (self.breaker(device, self._handle(circuit, end)),) if device is not None else ()
        return ()

    def _interconnect_parts(self, item: MicrogridInterconnectDevice, circuit: Circuit, end: End) -> tuple[Part, ...]:
        tag, device = item.tag, _device_at(circuit, end)
        if end.terminal == "supply":
            rating = value_text(item.contactor_rating_a) if item.contactor_rating_a is not None else ""
            main = (self.breaker(item.main, f"{tag}.main", "MAIN"),) if item.main is not None else ()
            held = marks_at(self.system.interlocks, f"{tag}.contactor")
            contactor = Part("contact", rating, ("CONTACTOR", *held), opens_neutral=bool(item.contactor_switches_neutral))
            return (contactor, *main)
        if end.terminal == "load":
            return (self.breaker(item.load_device, f"{tag}.load"),) if item.load_device is not None else ()
        terminal = item.terminals.get(end.terminal)
        if terminal is not None and terminal.accepts:
            device = device or terminal.built_in
            inner = Part("contact", terminal.relay or "relay")
            return (inner, self.breaker(device, f"{tag}.{end.terminal}")) if device is not None else (inner,)
        return (self.breaker(device, self._handle(circuit, end)),) if device is not None else ()

    def breaker(self, device: OvercurrentDevice, handle: str, name: str = "") -> Part:
        """Return a device as a part with its rating; ``name`` stands above it."""
        kind: PartKind = "fuse" if device.kind == "fuse" else "breaker"
        below = (*((name,) if name else ()), *marks_at(self.system.interlocks, handle))
        return Part(kind, device_text(device), below, interrupting_text(device), self.steps.get(handle, ""))

    def _on_the_wire(self, circuit: Circuit, end: End) -> Part | None:
        """Return the device at an end that is drawn on the wire, because the equipment there has no place for it."""
        device = _device_at(circuit, end)
        item = self.system.equipment[end.tag]
        if device is None or isinstance(item, MicrogridInterconnectDevice):
            return None
        if item.has_positions and (not item.supply_terminal or end.terminal != item.supply_terminal):
            return None
        return self.breaker(device, self._handle(circuit, end))

    def _handle(self, circuit: Circuit, end: End) -> str:
        if end.position is not None:
            return f"{end.tag}.{end.position}"
        return f"{circuit.tag}.{'start' if end is circuit.start else 'finish'}"


def _relays(item: Inverter, end: End) -> tuple[Part, ...]:
    """Return the relay inside an inverter between a port and where its converters give their ac."""
    node = item.node_of(end)
    if node == item.output_node:
        return ()
    if node == item.line_node:
        carries = item.relay.carries_a if item.relay is not None else None
        opens_neutral = item.relay is not None and bool(item.relay.switches_neutral)
        return (Part("contact", value_text(carries) if carries is not None else "", ("TRANSFER", "RELAY"), opens_neutral=opens_neutral),)
    port = item.ports.get(end.terminal)
    return (Part("contact", "", ("GENERATOR", "RELAY")),) if port is not None and port.kind == "generator" else ()


def _device_at(circuit: Circuit, end: End) -> OvercurrentDevice | None:
    return circuit.start_device if end is circuit.start else circuit.finish_device
