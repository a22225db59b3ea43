"""What an enclosure offers to raceways and conductors: where its walls may be pierced, and the space that wires pass through."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.values.origin import ProjectLine
    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryZone:
    """A rectangle on a wall in which raceways may enter; beyond it the wall tapers. ``largest`` is a trade size."""

    wall: str
    left_in: Value | None = None
    right_in: Value | None = None
    back_in: Value | None = None
    front_in: Value | None = None
    largest: str = ""
    at: ProjectLine | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class WiringSpace:
    """A wiring space that circuits pass through, are spliced or tapped in: its cross section and what lies there.

    ``circuits`` are the tags of what passes; ``splices_area_in2`` what splices and taps add at their place, None where there
    are none or it is not stated (``has_splices`` tells which); ``is_labeled`` says that the label naming the disconnect is there.
    """

    width_in: Value | None = None
    depth_in: Value | None = None
    circuits: tuple[str, ...] = ()
    has_splices: bool | None = None
    splices_area_in2: Value | None = None
    is_labeled: bool | None = None
    at: ProjectLine | None = None
