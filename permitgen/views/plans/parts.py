"""The parts that plans are made of, in feet as in the project file, with finished words."""

from __future__ import annotations

from dataclasses import dataclass

Point = tuple[float, float]
Outline = tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class PlanDimension:
    """A dimension from ``start`` to ``end``.

    ``away_from`` is a point on the side on which its line must not lie; None: the line lies between the two.
    """

    start: Point
    end: Point
    words: str
    away_from: Point | None = None


@dataclass(frozen=True, slots=True)
class PlanEquipment:
    """A piece of equipment.

    ``at`` is where it stands, ``outline`` its outline in plan where its size is known, ``facing`` a unit vector, ``step`` its step on
    the placard, ``words`` stand below its tag.
    """

    tag: str
    name: str
    place: str
    at: Point
    outline: Outline = ()
    facing: Point = (0.0, 0.0)
    step: str = ""
    is_existing: bool = False
    is_removed: bool = False
    words: tuple[str, ...] = ()

    @property
    def tag_words(self) -> str:
        """Its tag as plans write it, with its state."""
        state = " (E) TO BE REMOVED" if self.is_removed else " (E)" if self.is_existing else ""
        return f"{self.tag}{state}"


@dataclass(frozen=True, slots=True)
class PlanRoute:
    """A raceway or cable: its way as the project's places give it, and the words beside it."""

    tag: str
    points: Outline
    words: tuple[str, ...]
    is_underground: bool


@dataclass(frozen=True, slots=True)
class PlanZone:
    """An area with a limit: a pathway, a setback, a clearance; ``words`` say the number and the section."""

    kind: str
    outline: Outline
    words: tuple[str, ...]
