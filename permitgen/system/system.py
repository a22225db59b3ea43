"""The whole installation."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TYPE_CHECKING

from permitgen.system.build_graph import build_graph
from permitgen.system.handle import Handle
from permitgen.system.installed_device import InstalledDevice, devices_of
from permitgen.system.islanding_switch import IslandingSwitch, islanding_switches
from permitgen.system.operating_mode import OperatingMode

if TYPE_CHECKING:
    from permitgen.system.approval import Inspection
    from permitgen.system.built_state import Built, FieldResult
    from permitgen.system.busbar import Busbar
    from permitgen.system.circuit import Circuit, End
    from permitgen.system.control_circuit import ControlCircuit
    from permitgen.system.described_hardware import DescribedHardware
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.graph import Graph
    from permitgen.system.interlock import Interlock
    from permitgen.system.known_load import KnownLoad
    from permitgen.system.load import Load
    from permitgen.system.overcurrent_device import OvercurrentDevice
    from permitgen.system.power_control import PowerControl
    from permitgen.system.power_source import PowerSource
    from permitgen.system.project_facts import (
        Assumption,
        Attachment,
        FormFiles,
        Jurisdiction,
        ProjectFacts,
        RecordFacts,
        ReviewComment,
        Sent,
        Site,
    )
    from permitgen.system.raceway import Raceway
    from permitgen.system.source_reading import SourceReading
    from permitgen.system.terminal import Terminal
    from permitgen.values.value import Value


@dataclass(frozen=True)
class System:
    """Everything the project states, with the graph it makes. Immutable; a change gives a new one.

    What is taken out in this work is no part of ``equipment`` and ``circuits``: drawings and schedules find it in ``removed`` and
    ``removed_circuits``. ``readings`` are the choices among what several sources state of one figure; none where nothing is stated twice.
    ``material_allowance_percent`` is what a person adds to lengths that are ordered, None where nobody says.
    ``charge_kept_percent`` is what the batteries keep for outages, None where no setting says it as a percentage.
    """

    project: ProjectFacts
    jurisdiction: Jurisdiction
    site: Site
    equipment: Mapping[str, Equipment]
    circuits: Mapping[str, Circuit]
    removed: Mapping[str, Equipment] = field(default_factory=dict)
    removed_circuits: Mapping[str, Circuit] = field(default_factory=dict)
    raceways: Mapping[str, Raceway] = field(default_factory=dict)
    controls: Mapping[str, ControlCircuit] = field(default_factory=dict)
    loads: Mapping[str, Load] = field(default_factory=dict)
    known_loads: Mapping[str, KnownLoad] = field(default_factory=dict)
    power_controls: Mapping[str, PowerControl] = field(default_factory=dict)
    interlocks: tuple[Interlock, ...] = ()
    record: RecordFacts | None = None
    built: Built | None = None
    label_overrides: Mapping[str, str] = field(default_factory=dict)
    settings: Mapping[str, str] = field(default_factory=dict)
    material_allowance_percent: Value | None = None
    charge_kept_percent: Value | None = None
    attachments: tuple[Attachment, ...] = ()
    forms: tuple[FormFiles, ...] = ()
    sent: tuple[Sent, ...] = ()
    inspections: tuple[Inspection, ...] = ()
    review_comments: tuple[ReviewComment, ...] = ()
    assumptions: tuple[Assumption, ...] = ()
    readings: tuple[SourceReading, ...] = ()
    hardware: tuple[DescribedHardware, ...] = ()

    @cached_property
    def graph(self) -> Graph:
        """The graph of equipment and circuits."""
        return build_graph(self.equipment, self.circuits, self.interlocks)

    @cached_property
    def sources(self) -> Mapping[str, PowerSource]:
        """Power production sources by id, in file order."""
        return {source.id: source for item in self.equipment.values() for source in item.sources()}

    @cached_property
    def utility_nodes(self) -> tuple[str, ...]:
        """Nodes of the utility's service points."""
        return tuple(source.node for source in self.sources.values() if source.kind == "utility")

    @cached_property
    def busbars(self) -> Mapping[str, Busbar]:
        """Busbars by tag of their enclosure."""
        return {bus.tag: bus for item in self.equipment.values() for bus in item.busbars()}

    @cached_property
    def devices(self) -> Mapping[str, InstalledDevice]:
        """Overcurrent devices by id, wherever they stand."""
        return {device.tag: device for device in devices_of(self)}

    @cached_property
    def islanding_switches(self) -> tuple[IslandingSwitch, ...]:
        """What parts the house from the utility, in the order of the file."""
        return islanding_switches(self.equipment)

    @cached_property
    def handles(self) -> Mapping[str, Handle]:
        """Everything a person can open, by id: equipment handles and the breakers of circuits."""
        found = {handle.id: handle for item in self.equipment.values() for handle in item.handles()}
        for link in self.graph.links:
            if link.handle and link.handle not in found:
                # A device without a space is named after its circuit; it is opened at the equipment on which that end lands.
                named = link.handle.split(".", maxsplit=1)[0]
                tag = named if named in self.equipment else link.first.split(".", maxsplit=1)[0]
                item = self.equipment.get(tag)
                word = "fuses of" if link.device is not None and link.device.kind == "fuse" else "breaker"
                found[link.handle] = Handle(
                    id=link.handle, tag=tag, name=f"{word} {link.part}", kind="breaker", place=item.place if item else None
                )
        return found | {device.tag: _as_labeled(self, found[device.tag], device) for device in self.devices.values() if device.tag in found}

    @cached_property
    def modes(self) -> tuple[OperatingMode, ...]:
        """The modes that exist here: islanded only with a source that forms an island, on the generator only with one."""
        modes = [OperatingMode.WITH_UTILITY] if self.utility_nodes else []
        sources = self.sources.values()
        if any(s.forms_island and s.kind in ("energy storage", "photovoltaic", "vehicle") for s in sources):
            modes.append(OperatingMode.ISLANDED)
        if any(s.kind == "generator" for s in sources):
            modes.append(OperatingMode.ON_GENERATOR)
        return tuple(modes)

    @property
    def results(self) -> tuple[FieldResult, ...]:
        """What came home from the field; nothing where nothing was built yet."""
        return self.built.results if self.built is not None else ()

    @cached_property
    def circuits_in_run(self) -> Mapping[str, tuple[str, ...]]:
        """Tags of the circuits in each raceway."""
        found: dict[str, list[str]] = {tag: [] for tag in self.raceways}
        for circuit in self.circuits.values():
            for run in circuit.runs:
                found[run].append(circuit.tag)
        return {run: tuple(tags) for run, tags in found.items()}

    @cached_property
    def circuits_at(self) -> Mapping[str, tuple[str, ...]]:
        """Tags of the circuits that land on each piece of equipment."""
        found: dict[str, list[str]] = {}
        for circuit in self.circuits.values():
            for end in circuit.ends:
                found.setdefault(end.tag, []).append(circuit.tag)
        return {tag: tuple(dict.fromkeys(tags)) for tag, tags in found.items()}

    def terminal_at(self, end: End) -> Terminal | None:
        """Return the terminal on which an end lands, or None where the equipment does not describe one."""
        return self.equipment[end.tag].terminal_of(end)

    def with_circuit(self, circuit: Circuit) -> System:
        """Return the same system with one circuit replaced."""
        return replace(self, circuits={**self.circuits, circuit.tag: circuit})

    def with_sizes_of(self, circuit: Circuit) -> System:
        """Return the same system with a circuit that differs in conductor sizes only; the graph is kept, not built again."""
        return self._keeping_graph(self.with_circuit(circuit))

    def with_raceway(self, raceway: Raceway) -> System:
        """Return the same system with one raceway replaced; the graph is kept."""
        return self._keeping_graph(replace(self, raceways={**self.raceways, raceway.tag: raceway}))

    def _keeping_graph(self, other: System) -> System:
        for name in ("graph", "sources", "utility_nodes", "busbars", "devices", "handles", "modes", "circuits_in_run", "circuits_at"):
            # Asked for here, once, and handed on: else every trial of a size would find it anew.
            other.__dict__[name] = getattr(self, name)
        return other

    def keeps_graph_of(self, other: System) -> bool:
        """Whether this system was made from ``other`` by a change of sizes that kept its graph."""
        return "graph" in self.__dict__ and self.__dict__["graph"] is other.__dict__.get("graph")

    def with_device(self, old: OvercurrentDevice, new: OvercurrentDevice) -> System:
        """Return the same system with one overcurrent device replaced, wherever it stands."""
        for circuit in self.circuits.values():
            if circuit.start_device is old:
                return self.with_circuit(replace(circuit, start_device=new))
            if circuit.finish_device is old:
                return self.with_circuit(replace(circuit, finish_device=new))
        holder = next(item for item in self.equipment.values() if item.holds(old))
        return self.with_equipment(holder.with_device(old, new))

    def with_equipment(self, item: Equipment) -> System:
        """Return the same system with one piece of equipment replaced."""
        return replace(self, equipment={**self.equipment, item.tag: item})


def _as_labeled(system: System, handle: Handle, installed: InstalledDevice) -> Handle:
    """Return a handle called by the words on the label of its device, where it has some, else by the listed load that it serves."""
    device = installed.device
    return replace(handle, name=device.name or _load_of(system, installed) or handle.name, label=device.name, is_fuse=device.kind == "fuse")


def _load_of(system: System, installed: InstalledDevice) -> str:
    """Return the name of the load that a line of a directory puts on a device, empty where none does."""
    directory = system.equipment[installed.enclosure].directory
    tags = [each.load for each in directory.further if each.device is installed.device] if directory is not None else []
    return next((system.loads[tag].name for tag in tags if tag in system.loads), "")
