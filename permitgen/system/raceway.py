"""A run: a raceway, a cable or conductors in free air, with what surrounds it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from permitgen.values.missing_fact import stated

if TYPE_CHECKING:
    from permitgen.values.conductor_size import ConductorSize
    from permitgen.values.origin import ProjectLine
    from permitgen.values.value import Value

METAL_WIREWAY = "metal wireway"
WIREWAYS = frozenset({METAL_WIREWAY, "nonmetallic wireway"})
METAL_RACEWAYS = frozenset({"EMT", "RMC", "IMC", "FMC", "LFMC", METAL_WIREWAY})
CABLES = frozenset({"NM-B cable", "SER cable", "SEU cable", "MC cable", "UF-B cable", "TC-ER cable"})
FREE_AIR = "free air"


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """Where a run enters an enclosure: the wall, and the center of the hole from the left and from the back of that wall."""

    wall: str
    from_left_in: Value | None = None
    from_back_in: Value | None = None
    at: ProjectLine | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Raceway:
    """One run between two enclosures. ``trade_size`` None asks the program for one, unless nobody knows it.

    ``kind`` is a raceway of Chapter 9 Table 4 (``EMT``, ``PVC-40`` …), a wireway, a cable, or ``free air``. ``ambient_c`` is the design
    ambient along it; ``above_roof_in`` its distance above a sunlit roof; ``bonding`` how a metal raceway of service
    conductors is bonded to its enclosures. ``surface`` is what lies over a buried run (``open ground``, ``driveway``, ``street``,
    ``building``, ``slab``, ``concrete in trench``), ``riser`` the kind of raceway in which it comes out of the ground; ``route``
    its way on the plan, feet, empty where it is not stated; ``entries`` maps an enclosure's tag to where the run enters it.
    ``below`` is what lies under overhead conductors on the ground (``pedestrians``, ``driveway``, ``street``), ``roof_below`` the
    roof they pass over (``none``, ``low slope``, ``steep``, ``overhang``), empty where not stated; ``bonding_jumper_size`` the
    jumper of a bonding bushing. ``wet``, ``underground`` and ``inside`` are None where the project does not say; a rule asks for
    ``is_wet``, ``buried`` and ``inside_building``, which are then missing. ``on_roof`` and ``in_open_air``: a part of it lies there;
    so does ``in_attic``, None where the project does not say.
    """

    tag: str
    kind: str
    trade_size: str | None = None
    is_size_unknown: bool = False
    length_ft: Value | None = None
    location: str = ""
    wet: bool | None = None
    ambient_c: Value | None = None
    above_roof_in: Value | None = None
    underground: bool | None = None
    cover_in: Value | None = None
    contains_other_current_carrying: Value | None = None
    on_building: str = ""
    inside: bool | None = None
    on_roof: bool = False
    in_open_air: bool = False
    in_attic: bool | None = None
    exposed: bool | None = None
    bonding: str = ""
    surface: str = ""
    riser: str = ""
    below: str = ""
    roof_below: str = ""
    bonding_jumper_size: ConductorSize | None = None
    route: tuple[tuple[float, float], ...] = ()
    entries: Mapping[str, Entry] = field(default_factory=dict)
    facts: tuple[tuple[str, Value], ...] = ()
    answers: tuple[tuple[str, bool], ...] = ()
    trade_size_at: ProjectLine | None = None
    at: ProjectLine | None = None

    @property
    def is_wet(self) -> bool:
        """Whether the inside of the run is a wet location.

        Raises:
            MissingFactError: the project does not say.
        """
        return stated(self.wet, f"whether {self.tag} is in a wet place")

    @property
    def buried(self) -> bool:
        """Whether the run lies underground.

        Raises:
            MissingFactError: the project does not say.
        """
        return stated(self.underground, f"whether {self.tag} is underground")

    @property
    def is_wet_or_buried(self) -> bool:
        """Whether the run lies in a wet place or underground; either is enough where nobody says the other.

        Raises:
            MissingFactError: the project does not say.
        """
        return bool(self.wet or self.underground) or self.is_wet or self.buried

    @property
    def inside_building(self) -> bool:
        """Whether the run, or a part of it, lies inside a building.

        Raises:
            MissingFactError: the project does not say.
        """
        return stated(self.inside, f"whether {self.tag} is inside a building")

    @property
    def is_cable(self) -> bool:
        """Whether the run is a cable assembly rather than a raceway that is filled."""
        return self.kind in CABLES

    @property
    def is_free_air(self) -> bool:
        """Whether the conductors run in free air."""
        return self.kind == FREE_AIR

    @property
    def is_filled(self) -> bool:
        """Whether the run is a raceway whose fill is limited: conduit, tubing or wireway."""
        return not self.is_cable and not self.is_free_air

    @property
    def is_wireway(self) -> bool:
        """Whether the run is a trough with a cover, into which conductors are laid; it has a width and a depth, no trade size."""
        return self.kind in WIREWAYS

    @property
    def is_conduit(self) -> bool:
        """Whether the run is conduit or tubing, through which conductors are drawn; it has a trade size."""
        return self.is_filled and not self.is_wireway

    @property
    def is_metal(self) -> bool:
        """Whether the run is a metal raceway; those of this file are of steel."""
        return self.kind in METAL_RACEWAYS

    def fact(self, name: str) -> Value | None:
        """Return a further measured fact of the run, or None."""
        return dict(self.facts).get(name)

    def answer(self, name: str) -> bool | None:
        """Return a yes-or-no fact of the run, or None where the project does not state it."""
        return dict(self.answers).get(name)
