"""One home as the oracle sees it: plain facts in amperes, volts, feet, inches and °C, with no word of the project file's format.

Everything of which a house may have two is a tuple. ``None`` means that there is none, never that it is not known.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Any

DESIGN_HIGH_C = 36.0  # summer design dry-bulb of the invented place in which every home stands


@dataclass(frozen=True)
class Run:
    """A raceway: its kind and trade size, length in ft, place, stated ambient in °C, inches above a roof, inches of cover."""

    kind: str = "EMT"
    trade_size: str = "1"
    length_ft: float = 20.0
    place: str = "indoors"
    ambient_c: float = 30.0
    above_roof_in: float | None = None
    cover_in: float = 24.0
    others: int = 0  # current-carrying conductors of circuits that are not told here

    @property
    def is_wet(self) -> bool:
        return self.place in {"outdoors", "roof", "underground"}

    @property
    def is_in_open_air(self) -> bool:
        return self.place in {"outdoors", "roof"}


@dataclass(frozen=True)
class Wire:
    """Conductors of one circuit: two ungrounded, a neutral and a grounding conductor where sizes stand."""

    size: str
    run: Run
    material: str = "copper"
    insulation: str = "THWN-2"
    neutral: str | None = None
    ground: str | None = None
    terminal_c: int = 75  # lower of the two ends


@dataclass(frozen=True)
class Device:
    """A breaker or a set of fuses."""

    rating: float
    poles: int = 2
    interrupting_ka: float = 22.0
    marked_line_and_load: bool = False
    fastened: bool = True


@dataclass(frozen=True)
class Strings:
    """Strings of one inverter, each on an input of its own."""

    count: int
    modules: int
    voc: float
    isc: float
    coefficient: float  # percent per K
    largest_fuse: float
    wire: Wire
    largest_input_v: float = 600.0
    largest_input_a: float = 30.0


@dataclass(frozen=True)
class Siting:
    """Where a battery stands: kWh, kind of place, feet to the next unit and what its listing asks, feet to doors and windows."""

    energy_kwh: float
    place: str = "garage"
    to_next_ft: float = 4.0
    listed_spacing_ft: float = 3.0
    to_opening_ft: float = 6.0


@dataclass(frozen=True)
class Source:
    """A source circuit: a microinverter branch, an inverter with strings or a battery; ``space`` is its breaker's on the panel."""

    name: str
    kind: str  # branch, inverter, battery; combiner: several branches on one panel
    unit_a: float  # rated continuous output of one unit
    device: Device
    wire: Wire
    space: int = 39
    units: int = 1
    largest_device: float = 60.0
    largest_units: int = 60
    limit_a: float | None = None
    interactive_listed: bool = True
    strings: Strings | None = None
    siting: Siting | None = None
    branches: tuple[Source, ...] = ()
    clear_width_in: float = 36.0

    @property
    def output_a(self) -> float:
        return float(sum(Fraction(str(each.unit_a)) * each.units for each in self.branches or (self,)))


@dataclass(frozen=True)
class Panel:
    """A panelboard; without ``main`` it has lugs. ``supply_end`` is top, bottom or center; spaces count from the top, odd left."""

    name: str
    busbar: float
    main: Device | None
    sources: tuple[Source, ...] = ()
    spaces: int = 40
    supply_end: str = "top"
    grip_in: float = 72.0
    clear_depth_in: float = 72.0
    clear_width_in: float = 36.0
    short_circuit_ka: float = 22.0
    dedicated_clear: bool = True


@dataclass(frozen=True)
class Feeder:
    """A feeder from a breaker of the main panel to another panel; ``outbuilding`` puts that panel into a second building."""

    name: str
    device: Device
    wire: Wire
    panel: Panel
    space: int = 2
    outbuilding: bool = False
    electrode_conductor: str | None = None


@dataclass(frozen=True)
class SupplySide:
    """A source ahead of the service disconnect, through a switch of its own; the switch holds ``source.device``."""

    source: Source
    switch_a: float
    tap: Wire


@dataclass(frozen=True)
class Generator:
    """A standby generator with a breaker of its own, and its conductors to the transfer switch."""

    name: str
    output_a: float
    device: Device
    wire: Wire
    overload_protected: bool = False


@dataclass(frozen=True)
class Standby:
    """Feeder, transfer switch, load conductors and panel, and the generator behind it; numbered when there are two."""

    number: int
    feeder: Feeder
    switch_a: float
    load_wire: Wire
    generator: Generator
    load_va: float = 2400.0  # lighting and receptacles on the panel


@dataclass(frozen=True)
class Inlet:
    """An inlet for a portable generator, on an interlocked breaker of the main panel."""

    rating: float
    device: Device
    wire: Wire


@dataclass(frozen=True)
class Switch:
    """A service disconnect in an enclosure of its own between the meter and the main panel."""

    rating: float
    voltage: float
    device: Device
    wire: Wire  # from the switch to the main panel


@dataclass(frozen=True)
class Island:
    """A microgrid interconnect device that is the service equipment, with sources on its terminals and a feeder to a panel."""

    main: Device
    busbar: float
    batteries: tuple[Source, ...]
    pv: Source | None
    feeder_wire: Wire
    panel: Panel
    load_device: Device | None = None
    listing: tuple[float, float] | None = None  # the largest supply and the largest sources that its listing names


@dataclass(frozen=True)
class Load:
    """A load of the dwelling by its category, VA."""

    category: str
    va: float
    both_legs: bool = True


@dataclass(frozen=True)
class Service:
    """Lateral and meter-to-disconnect conductors, fault current at the service point in kA, grounding."""

    lateral: Wire
    entrance: Wire
    fault_ka: float = 9.0
    electrodes: tuple[str, ...] = ("concrete-encased", "ground rod", "water pipe")
    electrode_conductor: str = "4"
    bonding_jumper: str | None = None  # None: as supplied with listed equipment
    measured_peak_a: float | None = None
    meter_line_c: int = 75


@dataclass(frozen=True)
class Home:
    """A dwelling. Exactly one of ``panel`` and ``island`` is its service equipment, unless ``switch`` is."""

    name: str
    edition: int
    service: Service
    panel: Panel
    feeders: tuple[Feeder, ...] = ()
    supply_side: tuple[SupplySide, ...] = ()
    standby: tuple[Standby, ...] = ()
    inlet: Inlet | None = None
    switch: Switch | None = None
    island: Island | None = None
    loads: tuple[Load, ...] = ()
    floor_area_ft2: float = 1800.0
    lowest_c: float = -20.0
    existing: bool = False

    @property
    def all_sources(self) -> tuple[Source, ...]:
        """Every PV or storage source circuit of the house."""
        own = list(self.panel.sources)
        own += [source for feeder in self.feeders for source in feeder.panel.sources]
        own += [each.source for each in self.supply_side]
        if self.island is not None:
            own += [*self.island.batteries, *([self.island.pv] if self.island.pv else [])]
        return tuple(own)


@dataclass(frozen=True)
class Expected:
    """What the text says of one subject: ``violated``, ``not violated`` or ``unsure``.

    ``rules`` and ``subjects`` are where the program may say it. ``numbers`` are figures to be found there: the name of the way they
    belong to, or "", the computed figure and its limit, None where it is not compared. ``circumstance`` tells causes apart.
    """

    quantity: str
    verdict: str
    rules: tuple[str, ...]
    subjects: tuple[str, ...]
    section: str
    figures: str
    circumstance: str = ""
    numbers: tuple[tuple[str, float | None, float | None], ...] = ()
    unsure: str = ""


VIOLATED, HOLDS = "violated", "not violated"


def expect(quantity: str, holds: bool, rules: str, subjects: tuple[str, ...], section: str, figures: str, **more: Any) -> Expected:  # noqa: FBT001
    """A verdict by a comparison; ``rules`` are patterns of rule ids, parted by spaces, ``more`` further fields of it."""
    return Expected(quantity, HOLDS if holds else VIOLATED, tuple(rules.split()), subjects, section, figures, **more)
