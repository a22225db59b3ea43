"""What the one-line diagram says: a tree of units that begins at the utility, the circuits between them, and what stands beside it.

A unit is one symbol or one enclosure. It is entered on its *entries*; its *branches* lead on. Where a circuit would close a loop,
both of its ends carry a reference instead, so that the drawing stays a tree and no line ever crosses another.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from permitgen.system.equipment.equipment import DrawnAs

PartKind = Literal["breaker", "fuse", "switch", "contact", "autotransformer", "lugs", "meter"]
LeadKind = Literal["power", "dc", "control", "ground"]
UnitKind = DrawnAs | Literal["loads", "bonding"]
StepOn = Literal["unit", "switch", "stop"]
SupplyEnd = Literal["top", "center", "bottom"]
BondKind = Literal["", "bonded", "not bonded", "not stated"]


@dataclass(frozen=True, slots=True)
class Part:
    """A device drawn on a line; ``step`` is its number on the placard, ``opens_neutral`` whether it has a pole in it.

    ``above`` and ``below`` always stand beside it, ``rating`` where there is room.
    """

    kind: PartKind
    above: str = ""
    below: tuple[str, ...] = ()
    rating: str = ""
    step: str = ""
    opens_neutral: bool = False


@dataclass(frozen=True, slots=True)
class Lead:
    """The conductors between two units; ``near`` and ``far`` are devices at its ends.

    ``full`` and ``brief`` say the same at length and in short.
    """

    tags: tuple[str, ...]
    kind: LeadKind
    full: tuple[str, ...] = ()
    brief: tuple[str, ...] = ()
    near: Part | None = None
    far: Part | None = None
    is_existing: bool = False


@dataclass(frozen=True, slots=True)
class Way:
    """One way into or out of a unit: the parts between its inside and the terminal, the terminal's name, and the circuit that lands there.

    ``conductors`` names each conductor for the three-line diagram (``L1``, ``L2``, ``N``, ``G``, ``+``, ``−``); none for control wiring.
    ``node`` names the conductor inside the unit on which the way begins: ways with the same node are connected.
    """

    terminal: str
    parts: tuple[Part, ...] = ()
    lead: Lead | None = None
    node: str = ""
    note: str = ""
    conductors: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Branch:
    """Ways that lead to one unit, in the order of its entries; or, without a unit, to what ``reference`` names."""

    ways: tuple[Way, ...]
    unit: Unit | None = None
    reference: str = ""


@dataclass(frozen=True, slots=True)
class Grounding:
    """The grounding electrode conductor that lands in a unit, and its electrodes."""

    conductor: str
    electrodes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Unit:
    """One symbol or enclosure.

    ``lines`` are its ratings, ``place`` where it stands, ``inside`` facts that belong inside the enclosure; ``came_from`` is the
    match mark of a unit that goes on from another sheet.
    """

    tag: str
    kind: UnitKind
    name: str
    entries: tuple[Way, ...] = ()
    branches: tuple[Branch, ...] = ()
    lines: tuple[str, ...] = ()
    place: str = ""
    inside: tuple[str, ...] = ()
    step: str = ""
    step_on: StepOn = "unit"
    bond: BondKind = ""
    grounding: Grounding | None = None
    supply_end: SupplyEnd = "top"
    is_existing: bool = False
    parts: tuple[Part, ...] = ()
    symbol: str = ""
    came_from: str = ""

    def walk(self) -> Iterator[Unit]:
        """Yield this unit and every unit beyond it."""
        yield self
        for branch in self.branches:
            if branch.unit is not None:
                yield from branch.unit.walk()


@dataclass(frozen=True, slots=True)
class ModeTable:
    """Which contacts are closed in which mode. ``rows`` holds the mode and one word a contact."""

    headings: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()


@dataclass(frozen=True, slots=True)
class OneLine:
    """The whole diagram: usually one tree, more where parts of the system are not connected.

    ``stated`` are the notes of ratings and insulation, which every diagram of this system has.
    """

    roots: tuple[Unit, ...]
    modes: ModeTable
    notes: tuple[str, ...]
    stated: tuple[str, ...] = ()

    def units(self) -> Iterator[Unit]:
        """Yield every unit."""
        for root in self.roots:
            yield from root.walk()
