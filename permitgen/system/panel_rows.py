"""The directory of a panel as a table: each device in its space with what it serves. Every document and rule reads this one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.system.circuit import Circuit, End
    from permitgen.system.directory import FurtherDevice
    from permitgen.system.installed_device import InstalledDevice
    from permitgen.system.load import Load
    from permitgen.system.overcurrent_device import OvercurrentDevice
    from permitgen.system.system import System


@dataclass(frozen=True, slots=True, kw_only=True)
class PanelRow:
    """A line of the directory: ``spaces`` one below the other, the device there, and the circuit or load it serves.

    A device that stands in no space has none, and a ``place`` by name: ``main``, a terminal.

    ``device`` is None where a circuit lands without one that the file tells. ``tag`` is that of the circuit, of the load, else of the
    device.
    """

    tag: str
    place: str = ""
    spaces: tuple[int, ...]
    device: OvercurrentDevice | None
    circuit: Circuit | None = None
    load: Load | None = None
    is_spare: bool = False

    @property
    def is_further(self) -> bool:
        """Whether it serves something that the file does not list: neither a circuit nor a load of it, and no spare."""
        return self.circuit is None and self.load is None and not self.is_spare

    @property
    def name(self) -> str:
        """The words on the label of the device; where it has none of its own, the name of the circuit or load; empty if nothing has one."""
        if self.device is not None and self.device.name:
            return self.device.name
        if self.circuit is not None:
            return self.circuit.name
        return self.load.name if self.load is not None else ""


def panel_rows(system: System, tag: str) -> tuple[PanelRow, ...]:
    """Return what stands in the spaces of a panel, lowest space first."""
    rows = [_of_circuit(system, tag, circuit) for circuit in system.circuits_at.get(tag, ())]
    found = [row for part in rows for row in part] + _further(system, tag)
    return tuple(sorted(found, key=lambda row: row.spaces[0]))


def rows_by_name(system: System, tag: str) -> tuple[PanelRow, ...]:
    """Return the devices of an enclosure that stand in no space: its main, those at terminals, that of a neutral former."""
    own = [each for each in system.devices.values() if each.enclosure == tag and each.tag.startswith(f"{tag}.")]
    rows = []
    for each in own:
        if each.device.position is None:
            here = [
                name for name in system.circuits_at.get(tag, ()) for end in system.circuits[name].ends if _lands_on(system, tag, end, each)
            ]
            circuit = system.circuits[here[0]] if here else None
            rows.append(PanelRow(tag=each.tag, place=each.tag.partition(".")[2], spaces=(), device=each.device, circuit=circuit))
    return tuple(rows)


def _lands_on(system: System, tag: str, end: End, installed: InstalledDevice) -> bool:
    bus = system.busbars[tag].node if tag in system.busbars else ""
    return end.tag == tag and system.equipment[tag].node_of(end) in installed.nodes and system.equipment[tag].node_of(end) != bus


def loads_without_device(system: System, tag: str) -> tuple[Load, ...]:
    """Return the listed loads of a panel that no line of its directory shows the breaker of."""
    shown = {row.load.tag for row in _further(system, tag) if row.load is not None}
    return tuple(load for load in system.loads.values() if load.panel == tag and load.tag not in shown)


def shows_all_breakers(system: System, tag: str) -> bool:
    """Whether the file says that it shows every breaker of a panel, those of its listed loads among them."""
    return system.equipment[tag].answer("all_breakers_in_file") is True and not loads_without_device(system, tag)


def tells_all_loads(system: System, tag: str) -> bool:
    """Whether the file tells everything that a panel feeds: every breaker, or its load, and none behind one figure for all."""
    shown = any(row.is_further or row.load is not None for row in panel_rows(system, tag))
    return system.equipment[tag].answer("all_breakers_in_file") is True and (tag not in system.known_loads or shown)


def branch_breakers(system: System) -> dict[str, tuple[str, ...]]:
    """Return by panel the handles of its directory's devices whose circuits the file does not hold: breakers of loads, and spares."""
    found: dict[str, tuple[str, ...]] = {}
    for tag, item in system.equipment.items():
        further = {id(each.device) for each in item.directory.further} if item.directory is not None else set()
        handles = tuple(each.tag for each in system.devices.values() if id(each.device) in further)
        if handles:
            found[tag] = handles
    return found


def spaces_of(device: OvercurrentDevice | None, first: int) -> tuple[int, ...]:
    """Return the spaces a device takes, one below the other in a column: the poles of a half-size breaker share one two by two."""
    if device is None:
        return (first,)
    rows = device.poles if device.space == "full" else (device.poles + 1) // 2
    return tuple(first + 2 * row for row in range(max(rows, 1)))


def _of_circuit(system: System, tag: str, name: str) -> list[PanelRow]:
    circuit = system.circuits[name]
    ends = ((circuit.start, circuit.start_device), (circuit.finish, circuit.finish_device))
    return [
        PanelRow(tag=name, spaces=spaces_of(device, end.position), device=device, circuit=circuit)
        for end, device in ends
        if end.tag == tag and end.position is not None
    ]


def _further(system: System, tag: str) -> list[PanelRow]:
    directory = system.equipment[tag].directory
    tags = {id(each.device): each.tag for each in system.devices.values()} if directory is not None else {}
    return [
        PanelRow(
            tag=each.load or tags[id(each.device)],
            spaces=each.spaces,
            device=each.device,
            load=system.loads.get(each.load),
            is_spare=each.is_spare,
        )
        for each in (directory.further if directory is not None else ())
    ]


def removed_devices(system: System) -> tuple[tuple[str, str, FurtherDevice], ...]:
    """Return the devices of directories that are taken out in this work: what names each, in which spaces of what, the device."""
    return tuple(
        (f"{tag}.{each.spaces[0]}", f"{tag}, {'space' if len(each.spaces) == 1 else 'spaces'} {', '.join(map(str, each.spaces))}", each)
        for tag, item in system.equipment.items()
        for each in (item.directory.removed if item.directory is not None else ())
    )
