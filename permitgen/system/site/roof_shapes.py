"""Roof planes of a rectangular building by the run of its ridge: two of a gable roof, four of a hip roof with equal pitches."""

from __future__ import annotations

from dataclasses import dataclass

from permitgen.system.site.geometry import Outline, Point

_SQUARE_FT = 1e-6


@dataclass(frozen=True, slots=True)
class Rectangle:
    """A rectangle square to the page, ft."""

    left: float
    front: float
    right: float
    back: float

    def beyond(self, across_ft: float, deep_ft: float) -> Rectangle:
        """Return it larger by ``across_ft`` at left and right and by ``deep_ft`` at front and back."""
        return Rectangle(self.left - across_ft, self.front - deep_ft, self.right + across_ft, self.back + deep_ft)


@dataclass(frozen=True, slots=True)
class ToldPlane:
    """A plane that falls to one side: its outline, and its eave as two points of it."""

    side: str
    outline: Outline
    eave: tuple[Point, Point]


def rectangle_of(outline: Outline) -> Rectangle | None:
    """Return an outline as a rectangle; None where it is none, or not square to the page."""
    xs, ys = sorted({x for x, _ in outline}), sorted({y for _, y in outline})
    if len(outline) != 4 or len(xs) != 2 or len(ys) != 2 or len(set(outline)) != 4:
        return None
    return Rectangle(xs[0], ys[0], xs[1], ys[1])


def gable(walls: Rectangle, *, ridge_across: bool, eave_ft: float, rake_ft: float) -> tuple[ToldPlane, ...]:
    """Return the two planes of a gable roof whose ridge lies midway, from left to right (``ridge_across``) or from front to back."""
    if ridge_across:
        edge = walls.beyond(rake_ft, eave_ft)
        middle = (walls.front + walls.back) / 2
        ridge: tuple[Point, Point] = ((edge.left, middle), (edge.right, middle))
        front, back = _side(edge, "front"), _side(edge, "back")
        return (_plane("front", front, (ridge[1], ridge[0])), _plane("back", back, ridge))
    edge = walls.beyond(eave_ft, rake_ft)
    middle = (walls.left + walls.right) / 2
    ridge = ((middle, edge.front), (middle, edge.back))
    return (_plane("right", _side(edge, "right"), (ridge[1], ridge[0])), _plane("left", _side(edge, "left"), ridge))


def hip(walls: Rectangle, *, eave_ft: float) -> tuple[ToldPlane, ...]:
    """Return the four planes of a hip roof: with equal pitches each hip runs at 45 degrees in plan, and the ridge along the longer side."""
    edge = walls.beyond(eave_ft, eave_ft)
    width, depth = edge.right - edge.left, edge.back - edge.front
    half = min(width, depth) / 2
    if width >= depth:
        ends: tuple[Point, Point] = ((edge.left + half, edge.front + half), (edge.right - half, edge.front + half))
    else:
        ends = ((edge.left + half, edge.front + half), (edge.left + half, edge.back - half))
    first, last = ends if abs(width - depth) > _SQUARE_FT else (ends[0], ends[0])
    across = width >= depth
    inner = {
        "front": (last, first) if across else (first,),
        "right": (last,) if across else (last, first),
        "back": (first, last) if across else (last,),
        "left": (first,) if across else (first, last),
    }
    return tuple(_plane(side, _side(edge, side), points) for side, points in inner.items())


def _side(edge: Rectangle, side: str) -> tuple[Point, Point]:
    """Return one side of a rectangle, as one goes around it against the clock."""
    corners = ((edge.left, edge.front), (edge.right, edge.front), (edge.right, edge.back), (edge.left, edge.back))
    first = ("front", "right", "back", "left").index(side)
    return corners[first], corners[(first + 1) % 4]


def _plane(side: str, eave: tuple[Point, Point], inner: tuple[Point, ...]) -> ToldPlane:
    return ToldPlane(side, tuple(dict.fromkeys((*eave, *inner))), eave)
