"""The kinds of things rules judge, and how the system yields them."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from permitgen.system.equipment.kinds import KINDS
from permitgen.system.equipment.panelboard import Panelboard
from permitgen.system.equipment.photovoltaic import PVArray
from permitgen.system.site.surroundings import EQUIPMENT
from permitgen.system.walks.neutral_bonds import NeutralNetwork, neutral_networks

if TYPE_CHECKING:
    from permitgen.code.local_requirement import LocalRequirement
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit, End
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.operating_mode import OperatingMode
    from permitgen.system.power_source import PowerSource
    from permitgen.system.system import System
    from permitgen.system.terminal import Terminal
    from permitgen.values.origin import ProjectLine
    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True)
class Termination:
    """The conductors of a circuit on one terminal."""

    tag: str
    circuit: Circuit
    end: End
    terminal: Terminal | None
    at: ProjectLine | None


@dataclass(frozen=True, slots=True)
class InMode:
    """The whole system in one operating mode."""

    tag: str
    mode: OperatingMode
    at: ProjectLine | None = None


@dataclass(frozen=True, slots=True)
class Whole:
    """The whole system."""

    tag: str = "system"
    at: ProjectLine | None = None


@dataclass(frozen=True, slots=True)
class NeutralSubject:
    """One continuous neutral in one mode."""

    tag: str
    network: NeutralNetwork
    at: ProjectLine | None = None


@dataclass(frozen=True, slots=True)
class ArrayCircuit:
    """A string (``count`` modules in series) or a branch (``count`` microinverters) of an array; the tag is ``PV1.A``."""

    tag: str
    array: PVArray
    name: str
    count: Value
    at: ProjectLine | None = None


@dataclass(frozen=True, slots=True)
class InstalledSource:
    """A power production source other than the utility; branches and strings of an array count one by one."""

    tag: str
    source: PowerSource
    at: ProjectLine | None = None


@dataclass(frozen=True, slots=True)
class LocalSubject:
    """A piece of equipment and what an ordinance asks of its kind; the tag is ``ESS1@Rule 7, 7.2``."""

    tag: str
    item: Equipment
    requirement: LocalRequirement
    at: ProjectLine | None = None


def _local(given: Given, form: str) -> Iterator[LocalSubject]:
    """Yield what ordinances ask in a form of each piece of equipment; pathways and roof edges are asked of each array."""
    for requirement in given.code.local_requirements:
        kind = EQUIPMENT.get(requirement.of) or PVArray.kind
        for item in given.system.equipment.values():
            if requirement.form == form and item.kind == kind:
                yield LocalSubject(f"{item.tag}@{requirement.id}", item, requirement, item.at)


def _terminations(system: System) -> Iterator[Termination]:
    for circuit in system.circuits.values():
        for end in circuit.ends:
            yield Termination(f"{circuit.tag}@{end}", circuit, end, system.terminal_at(end), end.at or circuit.at)


def _neutrals(system: System) -> Iterator[NeutralSubject]:
    for mode in system.modes:
        for network in neutral_networks(system, mode):
            name = "utility neutral" if network.has_utility else f"neutral of {network.enclosures[0]}"
            yield NeutralSubject(f"{name}, {mode}", network)


def _array_circuits(part: str) -> Callable[[System], Iterator[ArrayCircuit]]:
    def find(system: System) -> Iterator[ArrayCircuit]:
        for item in system.equipment.values():
            if isinstance(item, PVArray):
                for name, count in getattr(item, part).items():
                    yield ArrayCircuit(f"{item.tag}.{name}", item, name, count, item.where.get(part, item.at))

    return find


def _sources(system: System) -> Iterator[InstalledSource]:
    for source in system.sources.values():
        if source.kind != "utility":
            yield InstalledSource(source.id, source, system.equipment[source.tag].at)


def _panelboards(system: System) -> Iterator[Panelboard]:
    return (item for item in system.equipment.values() if isinstance(item, Panelboard))


def _of_kind(kind: str) -> Callable[[System], Iterator[Any]]:
    return lambda system: (item for item in system.equipment.values() if item.kind == kind)


SUBJECTS: dict[str, Callable[[System], Iterator[Any]]] = {
    "circuit": lambda system: iter(system.circuits.values()),
    "raceway": lambda system: iter(system.raceways.values()),
    "busbar": lambda system: iter(system.busbars.values()),
    "control circuit": lambda system: iter(system.controls.values()),
    "device": lambda system: iter(system.devices.values()),
    "islanding switch": lambda system: iter(system.islanding_switches),
    "termination": _terminations,
    "neutral": _neutrals,
    "mode": lambda system: (InMode(str(mode), mode) for mode in system.modes),
    "system": lambda _: iter((Whole(),)),
    "panelboard": _panelboards,
    "equipment": lambda system: iter(system.equipment.values()),
    "PV string": _array_circuits("strings"),
    "PV branch": _array_circuits("branches"),
    "source": _sources,
    "hardware description": lambda system: iter(system.hardware),
}
# What judges a kind judges that kind alone; a panelboard is judged as such where it holds a meter too.
SUBJECTS |= {kind: _of_kind(kind) for kind in KINDS if kind not in SUBJECTS}


LOCAL_SUBJECTS = {f"local {form}": form for form in ("distance", "place", "pathways", "roof edges")}
"""The forms of requirements that ordinances add, by the kind of their subjects."""


def subjects_of(given: Given, kind: str) -> tuple[Any, ...]:
    """Return the subjects of a kind, listed once for all rules that judge it."""
    if kind in LOCAL_SUBJECTS:
        return given.once(("subjects", kind), lambda: tuple(_local(given, LOCAL_SUBJECTS[kind])))
    return given.once(("subjects", kind), lambda: tuple(SUBJECTS[kind](given.system)))


def tag_of(subject: Any) -> str:
    """Return the tag by which findings name a subject."""
    return str(subject.tag)


def place_of(subject: Any) -> ProjectLine | None:
    """Return the line of the project file where the subject stands, or None."""
    at: ProjectLine | None = getattr(subject, "at", None)
    return at
