"""One sheet while it fills: what lies on it, of which subjects, and where there is room for more."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from permitgen.documents.canvas.bounds import Box
from permitgen.documents.canvas.shapes import Group, Shape, moved
from permitgen.documents.sheets.block_forms import Piece
from permitgen.documents.sheets.free_space import FreeSpace
from permitgen.documents.sheets.part import DrawnSheet

ACROSS_MM = 8.0
DOWN_MM = 6.0
"""Air beside and below each piece."""


class FilledSheet:
    """A sheet being filled; ``owner`` is the subject that opened it. What a copy takes, its original does not."""

    def __init__(self, room: Box, owner: int) -> None:
        self.room, self.owner = room, owner
        # Beyond the right and lower edge no air is needed between pieces.
        self.space = FreeSpace(Box(room.left, room.top, room.right + ACROSS_MM, room.bottom + DOWN_MM), ())
        self.shapes: list[Shape] = []
        self.scales: list[str] = []
        self.holds: dict[int, tuple[float, float]] = {}
        self.from_top = True

    def copy(self) -> FilledSheet:
        """Return a sheet that holds the same."""
        other = FilledSheet.__new__(FilledSheet)
        other.room, other.owner, other.space, other.from_top = self.room, self.owner, self.space.copy(), self.from_top
        other.shapes, other.scales, other.holds = list(self.shapes), list(self.scales), dict(self.holds)
        return other

    def with_drawing(self, drawn: DrawnSheet, part: int, *, floats: bool) -> FilledSheet | None:
        """Return the sheet with a drawing where it lies, or on a sheet with something on it moved into free room; None without room.

        Beside a drawing that does not float tables stand at the bottom, as close to it as they can.
        """
        box = around(drawn.taken)
        place: tuple[float, float] | None = (box.left, box.top)
        if self.holds:
            place = self.space.find(box.width + ACROSS_MM, box.height + DOWN_MM, margin=0.0, from_top=True)
        if place is None:
            return None
        other, dx, dy = self.copy(), place[0] - box.left, place[1] - box.top
        other.shapes += [Group(tuple(drawn.shapes), transform=moved(dx, dy))] if self.holds else drawn.shapes
        other.scales.append(drawn.scale)
        other.from_top = other.from_top and floats
        other.hold(part, Box(*place, place[0] + box.width, place[1] + box.height))
        for each in drawn.taken:
            other.space.take(Box(each.left + dx, each.top + dy, each.right + dx + ACROSS_MM / 2, each.bottom + dy + DOWN_MM / 2))
        return other

    def with_group(self, forms: Iterable[Piece], part: int) -> FilledSheet | None:
        """Return the sheet with a group in the first of its forms that finds room, of several the one that stands highest; None without."""
        best: tuple[Piece, tuple[float, float]] | None = None
        for piece in forms:
            place = self._place_of(piece)
            if place is not None and (best is None or place[1] < best[1][1]):
                best = (piece, place)
            if best is not None and (not self.from_top or best[1][1] <= self.room.top):
                break
        return self._with_piece(*best, part) if best is not None else None

    def _place_of(self, piece: Piece) -> tuple[float, float] | None:
        return self.space.find(piece.width + ACROSS_MM, piece.height + DOWN_MM, margin=0.0, from_top=self.from_top)

    def _with_piece(self, piece: Piece, place: tuple[float, float], part: int) -> FilledSheet:
        (x, y), other = place, self.copy()
        other.shapes.append(Group(piece.shapes, transform=moved(x, y)))
        other.space.take(Box(x, y, x + piece.width + ACROSS_MM, y + piece.height + DOWN_MM))
        other.hold(part, Box(x, y, x + piece.width, y + piece.height))
        return other

    def hold(self, part: int, box: Box) -> None:
        """Note where the first of a subject lies."""
        self.holds.setdefault(part, ((box.left + box.right) / 2, (box.top + box.bottom) / 2))

    @property
    def scale(self) -> str:
        """The scale of the title block."""
        scales = set(self.scales)
        return scales.pop() if len(scales) == 1 else "AS SHOWN" if scales else "NO SCALE"


def around(boxes: Sequence[Box]) -> Box:
    """Return the box around some boxes."""
    joined = boxes[0]
    for box in boxes[1:]:
        joined = joined.joined(box)
    return joined
