"""A run: a raceway, a cable or conductors in free air, with what surrounds it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.values.origin import ProjectLine
    from permitgen.values.value import Value

METAL_RACEWAYS = frozenset({"EMT", "RMC", "IMC"})
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
    """One run between two enclosures. ``trade_size`` None asks the program for one.

    ``kind`` is a raceway of Chapter 9 Table 4 (``EMT``, ``PVC-40`` …), a cable, or ``free air``. ``ambient_c`` is the design
    ambient along it; ``above_roof_in`` its distance above a sunlit roof; ``bonding`` how a metal raceway of service
    conductors is bonded to its enclosures. ``surface`` is what lies over a buried run (``open ground``, ``driveway``, ``street``,
    ``building``, ``slab``, ``concrete in trench``), ``riser`` the kind of raceway in which it comes out of the ground; ``route`` its
    way on the plan, feet, empty where it is not stated; ``entries`` maps an enclosure's tag to where the run enters it.
    """

    tag: str
    kind: str
    trade_size: str | None = None
    length_ft: Value | None = None
    location: str = ""
    is_wet: bool = False
    ambient_c: Value | None = None
    above_roof_in: Value | None = None
    buried: bool = False
    cover_in: Value | None = None
    contains_other_current_carrying: int = 0
    on_building: str = ""
    inside_building: bool = False
    exposed: bool | None = None
    bonding: str = ""
    surface: str = ""
    riser: str = ""
    route: tuple[tuple[float, float], ...] = ()
    entries: Mapping[str, Entry] = field(default_factory=dict)
    facts: tuple[tuple[str, Value], ...] = ()
    answers: tuple[tuple[str, bool], ...] = ()
    trade_size_at: ProjectLine | None = None
    at: ProjectLine | None = None

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
        """Whether the run is a raceway whose fill is limited."""
        return not self.is_cable and not self.is_free_air

    def fact(self, name: str) -> Value | None:
        """Return a further measured fact of the run, or None."""
        return dict(self.facts).get(name)

    def answer(self, name: str) -> bool | None:
        """Return a yes-or-no fact of the run, or None where the project does not state it."""
        return dict(self.answers).get(name)
