"""One sheet while it fills: what lies on it, of which subjects, and where there is room for more."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from permitgen.documents.canvas.bounds import Box
from permitgen.documents.canvas.shapes import Group, Shape, moved
from permitgen.documents.sheets.block_forms import GroupForms, Piece
from permitgen.documents.sheets.free_space import FreeSpace
from permitgen.documents.sheets.part import DrawnSheet

ACROSS_MM = 6.0
DOWN_MM = 5.0
"""Air beside and below each piece."""


@dataclass(frozen=True, slots=True)
class PlacedDrawing:
    """A drawing of a subject in one of the forms in which it may lie, the largest first; one that ``opens`` shares no begun sheet."""

    part: int
    forms: tuple[Callable[[], DrawnSheet], ...]
    form: int
    floats: bool
    opens: bool = False


@dataclass(frozen=True, slots=True)
class PlacedGroup:
    """A group of a subject as it lies, and all its forms; None where it is a part of one taller than a sheet."""

    part: int
    piece: Piece
    forms: GroupForms | None


class FilledSheet:
    """A sheet being filled; ``owner`` is the subject that opened it. What a copy takes, its original does not.

    On one that ``spares`` tables lie where they leave the most room in one piece, else one below the other. ``reduced`` counts by how
    many forms its drawings are smaller than they could be, ``drawn`` names the subjects of which it shows a drawing.
    """

    def __init__(self, room: Box, owner: int, *, spares: bool = False) -> None:
        self.room, self.owner, self.spares = room, owner, spares
        # Beyond the right and lower edge no air is needed between pieces.
        self.space = FreeSpace(Box(room.left, room.top, room.right + ACROSS_MM, room.bottom + DOWN_MM))
        self.items: list[PlacedDrawing | PlacedGroup] = []
        self.shapes: list[Shape] = []
        self.scales: list[str] = []
        self.reduced = 0
        self.drawn: set[int] = set()
        self.holds: dict[int, tuple[float, float]] = {}
        self.from_top = True

    def copy(self) -> FilledSheet:
        """Return a sheet that holds the same."""
        other = FilledSheet.__new__(FilledSheet)
        other.room, other.owner, other.space, other.from_top = self.room, self.owner, self.space.copy(), self.from_top
        other.reduced, other.spares, other.drawn = self.reduced, self.spares, set(self.drawn)
        other.items, other.shapes, other.scales, other.holds = list(self.items), list(self.shapes), list(self.scales), dict(self.holds)
        return other

    def with_drawing(self, drawing: PlacedDrawing) -> FilledSheet | None:
        """Return the sheet with a drawing where it lies, or on a sheet with something on it moved into free room; None without room.

        Beside a drawing that does not float tables stand at the bottom, as close to it as they can.
        """
        drawn = drawing.forms[drawing.form]()
        box = around(drawn.taken)
        place: tuple[float, float] | None = (box.left, box.top)
        if self.holds:
            place = self.space.find_sparing(box.width + ACROSS_MM, box.height + DOWN_MM)
        if place is None:
            return None
        other, dx, dy = self.copy(), place[0] - box.left, place[1] - box.top
        other.items.append(drawing)
        other.shapes += [Group(tuple(drawn.shapes), transform=moved(dx, dy))] if self.holds else drawn.shapes
        other.scales.append(drawn.scale)
        other.reduced += 0 if drawing.floats else drawing.form
        other.drawn.add(drawing.part)
        other.from_top = other.from_top and drawing.floats
        other.hold(drawing.part, Box(*place, place[0] + box.width, place[1] + box.height))
        for each in drawn.taken:
            other.space.take(Box(each.left + dx, each.top + dy, each.right + dx + ACROSS_MM / 2, each.bottom + dy + DOWN_MM / 2))
        return other

    def with_item(self, item: PlacedDrawing | PlacedGroup) -> FilledSheet | None:
        """Return the sheet with something in the very form in which it lay on another; None without room for it."""
        if isinstance(item, PlacedDrawing):
            return self.with_drawing(item)
        place = self._place_of(item.piece)
        return self.with_piece(item, place) if place is not None else None

    def with_group(self, forms: GroupForms, part: int) -> FilledSheet | None:
        """Return the sheet with a group in the first of its forms that finds room, of several the one that stands highest; None without.

        Where none does, the group takes the width of a free place.
        """
        best: tuple[Piece, tuple[float, float]] | None = None
        for piece in forms:
            place = self._place_of(piece)
            if place is not None and (best is None or place[1] < best[1][1]):
                best = (piece, place)
            if best is not None and (not self.from_top or best[1][1] <= self.room.top):
                break
        best = best or self._fitted(forms)
        return self.with_piece(PlacedGroup(part, best[0], forms), best[1]) if best is not None else None

    def _fitted(self, forms: GroupForms) -> tuple[Piece, tuple[float, float]] | None:
        """Return a group as wide as one of the free places that hold it so, the widest of them first."""
        for width in sorted({box.width for box in self.space.largest}, reverse=True):
            piece = forms.as_wide_as(width - ACROSS_MM)
            place = self._place_of(piece) if piece is not None else None
            if piece is not None and place is not None:
                return piece, place
        return None

    def _place_of(self, piece: Piece) -> tuple[float, float] | None:
        width, height = piece.width + ACROSS_MM, piece.height + DOWN_MM
        if self.spares:
            return self.space.find_sparing(width, height)
        return self.space.find(width, height, from_top=self.from_top)

    def with_piece(self, group: PlacedGroup, place: tuple[float, float]) -> FilledSheet:
        """Return the sheet with a piece where it is told to lie."""
        (x, y), other, piece = place, self.copy(), group.piece
        other.items.append(group)
        other.shapes.append(Group(piece.shapes, transform=moved(x, y)))
        other.space.take(Box(x, y, x + piece.width + ACROSS_MM, y + piece.height + DOWN_MM))
        other.hold(group.part, Box(x, y, x + piece.width, y + piece.height))
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
