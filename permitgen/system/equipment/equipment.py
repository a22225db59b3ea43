"""What every piece of equipment has."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from typing import TYPE_CHECKING, Any, ClassVar, Literal, Self

from permitgen.system.operating_mode import ALL_MODES

if TYPE_CHECKING:
    from permitgen.system.busbar import Busbar
    from permitgen.system.circuit import End
    from permitgen.system.directory import Directory
    from permitgen.system.enclosure import EntryZone, WiringSpace
    from permitgen.system.handle import Handle
    from permitgen.system.link import Link
    from permitgen.system.neutral_bond import NeutralBond
    from permitgen.system.operating_mode import OperatingMode
    from permitgen.system.overcurrent_device import OvercurrentDevice
    from permitgen.system.place import Place
    from permitgen.system.power_source import PowerSource
    from permitgen.system.terminal import Terminal
    from permitgen.values.conductor_size import ConductorSize
    from permitgen.values.origin import ProjectLine
    from permitgen.values.value import Value

DrawnAs = Literal[
    "utility",
    "meter",
    "junction",
    "panelboard",
    "interconnect device",
    "transfer switch",
    "disconnect",
    "array",
    "inverter",
    "storage",
    "generator",
    "power inlet",
    "vehicle supply",
    "appliance",
    "energy_monitor",
    "initiator",
    "equipment",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Equipment:
    """A piece of equipment with a tag. ``kind`` is the trade's word for it; ``name`` what drawings print.

    ``roles`` are the functions it has on this site (``service equipment``, ``pv combiner``); ``listed_as`` what its listing
    covers. ``status`` is ``new``, ``existing``, ``replaced`` or ``to be removed``; ``existing_labels`` are the ids of the labels that
    hang on it today.
    ``facts`` holds further measured facts by name and ``words`` further facts that are text, ``answers`` yes-or-no facts;
    ``absent`` names the things of which somebody looked and found none, ``unknown`` the facts that nobody knows.
    ``directory`` is what the directory shows beside the circuits of the file, None where it is not told.
    ``electrode_conductor_size`` is the grounding electrode conductor that lands in this enclosure (a source's, a second building's),
    ``system_bonding_jumper_size`` the jumper that bonds the neutral of a separately derived system here.
    """

    kind: ClassVar[str] = "equipment"

    # What a kind is to those who ask; a class says it of itself, so that nobody else keeps a list of kinds (a test of the house looks).
    # An enclosure of its own that weather may enter; one with a marked short-circuit current rating, in which conductors bend to lugs;
    # one with devices at which people work and whose handles they reach; one with a busbar in a cabinet, kept clear above and below;
    # a revenue meter; a switch worked by a handle; one that transfers between supplies; one that can be the disconnect of a building.
    is_enclosure: ClassVar[bool] = False
    is_assembly: ClassVar[bool] = False
    holds_devices: ClassVar[bool] = False
    is_cabinet_with_bus: ClassVar[bool] = False
    is_metering: ClassVar[bool] = False
    is_switch: ClassVar[bool] = False
    transfers: ClassVar[bool] = False
    can_disconnect_building: ClassVar[bool] = False
    # How circuits land: the terminals that every one has, that of the supply; breakers on spaces, and whether the tag alone then means
    # a breaker of an unknown space; any name is a terminal; circuits on different terminals stay apart; terminals carry marks of sizes,
    # materials and torque; it may stand without a circuit.
    fixed_terminals: ClassVar[tuple[str, ...]] = ()
    supply_terminal: ClassVar[str] = ""
    has_positions: ClassVar[bool] = False
    tag_alone_is_a_space: ClassVar[bool] = False
    takes_any_terminal: ClassVar[bool] = False
    circuits_stay_apart: ClassVar[bool] = False
    has_marked_terminals: ClassVar[bool] = True
    needs_no_circuit: ClassVar[bool] = False
    # Its directory: the devices it calls by a name and where each is described below its entry, None for a kind without a directory;
    # the terminal on which its supply ends there; spaces in two columns, so that the poles of a breaker stand one below the other;
    # a door that, opened, lays live parts bare.
    directory_names: ClassVar[Mapping[str, tuple[str, ...]] | None] = None
    directory_supply: ClassVar[str] = ""
    has_two_columns: ClassVar[bool] = False
    door_lays_live_parts_bare: ClassVar[bool] = False
    # What flows: alternating current and nothing else; a dc circuit leads on through it as an ac circuit does; loads of the premises lie
    # behind it; it is itself a load that is counted; a power control system can hold what it gives.
    is_ac_only: ClassVar[bool] = False
    leads_on: ClassVar[bool] = False
    carries_loads: ClassVar[bool] = False
    is_counted_load: ClassVar[bool] = False
    output_can_be_held: ClassVar[bool] = False
    # The terminals on whose nodes its neutral bar lies; empty where it has none. Meters are bonded by the utility ahead of the service
    # disconnect (250.142(A)), so they are left out of the count of bonds.
    neutral_bar_at: ClassVar[tuple[str, ...]] = ()
    # The terminal behind its contactor or transfer mechanism.
    switched_terminal: ClassVar[str] = ""
    # Where it is: equipment of a building; something that may stand before other equipment; by nature on the supply side of the service
    # disconnect; wired by the utility with the neutral alone; working space before it is advised and not asked for.
    is_of_a_building: ClassVar[bool] = True
    may_stand_before_others: ClassVar[bool] = True
    may_precede_service_disconnect: ClassVar[bool] = False
    is_wired_with_neutral_alone: ClassVar[bool] = False
    needs_working_space: ClassVar[bool] = False
    working_space_is_advised: ClassVar[bool] = False
    # What papers ask of it: its place in the scope of work, None where the scope does not name it; its symbol on the one-line diagram;
    # a serial number, firmware; a bond from its frame to the service that is measured; a picture with its label.
    scope_order: ClassVar[int | None] = None
    drawn_as: ClassVar[DrawnAs] = "equipment"
    has_serial_number: ClassVar[bool] = False
    has_firmware: ClassVar[bool] = False
    frame_bond_is_measured: ClassVar[bool] = False
    label_is_photographed: ClassVar[bool] = False

    tag: str
    name: str
    place: Place | None = None
    terminals: Mapping[str, Terminal] = field(default_factory=dict)
    neutral_bond: NeutralBond | None = None
    roles: frozenset[str] = frozenset()
    listed_as: frozenset[str] = frozenset()
    status: str = "new"
    existing_labels: tuple[str, ...] = ()
    model: str = ""
    enclosure_type: str = ""
    short_circuit_rating_ka: Value | None = None
    electrode_conductor_size: ConductorSize | None = None
    system_bonding_jumper_size: ConductorSize | None = None
    facts: tuple[tuple[str, Value], ...] = ()
    words: tuple[tuple[str, str], ...] = ()
    answers: tuple[tuple[str, bool], ...] = ()
    absent: frozenset[str] = frozenset()
    unknown: frozenset[str] = frozenset()
    entry_zones: tuple[EntryZone, ...] = ()
    wiring_space: WiringSpace | None = None
    directory: Directory | None = None
    at: ProjectLine | None = None
    where: Mapping[str, ProjectLine] = field(default_factory=dict)

    def fact(self, name: str) -> Value | None:
        """Return a further measured fact, or None where the project does not state it."""
        return dict(self.facts).get(name)

    def word(self, name: str) -> str:
        """Return a further fact that is text, or an empty string."""
        return dict(self.words).get(name, "")

    def answer(self, name: str) -> bool | None:
        """Return a yes-or-no fact, or None where the project does not state it."""
        return dict(self.answers).get(name)

    def node_of(self, end: End) -> str:
        """Return the graph node on which a circuit's end lands."""
        return f"{self.tag}.{end.terminal}" if end.terminal else f"{self.tag}.bus"

    def modes_of(self, end: End) -> frozenset[OperatingMode]:
        """Return the modes in which the breaker of a circuit's end can be closed."""
        return ALL_MODES

    def terminal_of(self, end: End) -> Terminal | None:
        """Return the terminal on which a circuit's end lands: the named one, the breaker's, or the only one."""
        if end.position is not None:
            return self.terminals.get("breaker")
        if end.terminal:
            return self.terminals.get(end.terminal)
        if len(self.terminals) == 1:
            return next(iter(self.terminals.values()))
        return self.terminals.get("main")

    def links(self, landed: Mapping[str, OvercurrentDevice | None]) -> tuple[Link, ...]:
        """Return the connections inside; ``landed`` is the device a circuit brings to each named terminal."""
        return ()

    def sources(self) -> tuple[PowerSource, ...]:
        """Return the power production sources inside."""
        return ()

    def busbars(self) -> tuple[Busbar, ...]:
        """Return the busbars inside."""
        return ()

    def handles(self) -> tuple[Handle, ...]:
        """Return what a person can open on it."""
        return ()

    def holds(self, device: OvercurrentDevice) -> bool:
        """Whether ``device`` is a part of this equipment."""
        further = self.directory.further if self.directory is not None else ()
        return (
            any(getattr(self, each.name) is device for each in fields(self))
            or any(terminal.built_in is device for terminal in self.terminals.values())
            or any(each.device is device for each in further)
        )

    def with_device(self, old: OvercurrentDevice, new: OvercurrentDevice) -> Self:
        """Return the same equipment with one of its own devices replaced."""
        terminals = {name: replace(t, built_in=new) if t.built_in is old else t for name, t in self.terminals.items()}
        own: dict[str, Any] = {each.name: new for each in fields(self) if getattr(self, each.name) is old}
        if self.directory is not None:
            further = tuple(replace(each, device=new) if each.device is old else each for each in self.directory.further)
            own["directory"] = replace(self.directory, further=further)
        return replace(self, terminals=terminals, **own)

    @property
    def source_bond_node(self) -> str:
        """The node on which a source joins its own neutral to ground, where it says that it does; empty for what is no such source."""
        return ""

    @property
    def is_utilization_equipment(self) -> bool:
        """Whether it uses energy rather than passing it on."""
        return False

    @property
    def supply_main(self) -> OvercurrentDevice | None:
        """The main breaker or fuses through which it is supplied; None where it has none, or none of its own beside a switch."""
        return None
