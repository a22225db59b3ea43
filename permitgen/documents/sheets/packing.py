"""Packs the subjects of a discipline on as few sheets as hold them.

Each drawing lies on a sheet of its own, or in the free room of an earlier one. A table stands beside the drawing of its subject where it
finds room there, else on any sheet of the discipline, broken into columns where that helps; what finds none opens a sheet.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field

from permitgen.documents.canvas.bounds import Box
from permitgen.documents.canvas.shapes import Group, Shape, moved
from permitgen.documents.sheets.block_forms import Piece, forms_of, parted
from permitgen.documents.sheets.flowing import Block
from permitgen.documents.sheets.free_space import FreeSpace
from permitgen.documents.sheets.part import DrawnSheet, SheetPart
from permitgen.documents.sheets.sheet import Drawing
from permitgen.documents.sheets.title_block import SheetName
from permitgen.views.plan_sheets import continued

_ACROSS_MM = 8.0
_DOWN_MM = 6.0


@dataclass(slots=True)
class _Sheet:
    """A sheet being filled; ``owner`` is the subject that opened it."""

    room: Box
    owner: int
    space: FreeSpace = field(init=False)
    shapes: list[Shape] = field(default_factory=list)
    scales: list[str] = field(default_factory=list)
    holds: dict[int, tuple[float, float]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        # Beyond the right and lower edge no air is needed between pieces.
        self.space = FreeSpace(Box(self.room.left, self.room.top, self.room.right + _ACROSS_MM, self.room.bottom + _DOWN_MM), ())

    def opens_with(self, drawn: DrawnSheet, part: int) -> None:
        """Take a drawing where it lies."""
        self._draw(drawn.shapes, drawn.scale, part, _around(drawn.taken))
        for box in drawn.taken:
            self.space.take(Box(box.left, box.top, box.right + _ACROSS_MM / 2, box.bottom + _DOWN_MM / 2))

    def takes_drawing(self, drawn: DrawnSheet, part: int) -> bool:
        """Move a drawing into free room; say whether there was some."""
        box = _around(drawn.taken)
        place = self.space.find(box.width + _ACROSS_MM, box.height + _DOWN_MM, margin=0.0, from_top=True)
        if place is None:
            return False
        dx, dy = place[0] - box.left, place[1] - box.top
        self._draw(
            [Group(tuple(drawn.shapes), transform=moved(dx, dy))],
            drawn.scale,
            part,
            Box(*place, place[0] + box.width, place[1] + box.height),
        )
        for each in drawn.taken:
            self.space.take(Box(each.left + dx, each.top + dy, each.right + dx + _ACROSS_MM / 2, each.bottom + dy + _DOWN_MM / 2))
        return True

    def takes(self, piece: Piece, part: int) -> bool:
        """Put a piece where there is room for it; say whether there was."""
        place = self.space.find(piece.width + _ACROSS_MM, piece.height + _DOWN_MM, margin=0.0, from_top=not self.scales)
        if place is None:
            return False
        x, y = place
        self.shapes.append(Group(piece.shapes, transform=moved(x, y)))
        self.space.take(Box(x, y, x + piece.width + _ACROSS_MM, y + piece.height + _DOWN_MM))
        self._holds(part, Box(x, y, x + piece.width, y + piece.height))
        return True

    def _draw(self, shapes: Sequence[Shape], scale: str, part: int, box: Box) -> None:
        self.shapes += shapes
        self.scales.append(scale)
        self._holds(part, box)

    def _holds(self, part: int, box: Box) -> None:
        self.holds.setdefault(part, ((box.left + box.right) / 2, (box.top + box.bottom) / 2))

    @property
    def scale(self) -> str:
        """The scale of the title block."""
        scales = set(self.scales)
        return scales.pop() if len(scales) == 1 else "AS SHOWN" if scales else "NO SCALE"


def packed(parts: Sequence[SheetPart], room: Box) -> tuple[Drawing, ...]:
    """Return the sheets of one discipline, in the order of its subjects.

    Tables are placed as they come, or the largest first where that spares a sheet.
    """
    forms = _Forms(room)
    best: _Packing | None = None
    for order in _ORDERS:
        packing = _Packing(parts, room, forms, order)
        if best is None or len(packing.sheets) < len(best.sheets):
            best = packing
        if len(best.sheets) <= 1:
            break
    return best.drawings() if best is not None else ()


class _Forms:
    """The forms of groups and drawings, each made once and not before it is asked for."""

    def __init__(self, room: Box) -> None:
        self.room = room
        self._made: dict[int, tuple[Sequence[Block], list[Piece], Iterator[Piece]]] = {}
        self._drawn: dict[int, tuple[Callable[[], DrawnSheet], DrawnSheet]] = {}

    def of(self, group: Sequence[Block]) -> Iterator[Piece]:
        """Yield the forms of a group, the best first."""
        _, made, more = self._made.setdefault(id(group), (group, [], forms_of(group, self.room)))
        yield from made
        for piece in more:
            made.append(piece)
            yield piece

    def drawn(self, form: Callable[[], DrawnSheet]) -> DrawnSheet:
        """Return a drawing."""
        if id(form) not in self._drawn:
            self._drawn[id(form)] = (form, form())
        return self._drawn[id(form)][1]

    def area(self, group: Sequence[Block]) -> float:
        """Return how much of a sheet a group takes."""
        first = next(self.of(group), None)
        return first.width * first.height if first is not None else self.room.width * self.room.height


@dataclass(frozen=True, slots=True)
class _Waiting:
    """A group of blocks, or a drawing that may lie anywhere in its forms, that is still to be placed."""

    index: int
    group: Sequence[Block] = ()
    drawing: Sequence[Callable[[], DrawnSheet]] = ()


_Order = Callable[[int, float], tuple[float, ...]]
# As they come; the largest of each subject first; the largest of all first. The first keeps most together, the last fills best.
_ORDERS: tuple[_Order, ...] = (lambda index, _area: (index,), lambda index, area: (index, -area), lambda _index, area: (-area,))


class _Packing:
    """First all drawings, each with what finds room beside it; then what is left, wherever there is room."""

    def __init__(self, parts: Sequence[SheetPart], room: Box, forms: _Forms, order: _Order) -> None:
        self.parts, self.room, self.forms = parts, room, forms
        self.sheets: list[_Sheet] = []
        waiting: list[_Waiting] = []
        for index, part in enumerate(parts):
            if part.floats:
                waiting += [_Waiting(index, drawing=drawing) for drawing in part.drawings]
            waiting += [_Waiting(index, group=group) for group in self._drawn(index)]
        for each in sorted(waiting, key=lambda each: order(each.index, self._area(each))):
            self._placed(each)

    def _area(self, waiting: _Waiting) -> float:
        if not waiting.drawing:
            return self.forms.area(waiting.group)
        box = _around(self.forms.drawn(waiting.drawing[-1]).taken)
        return box.width * box.height

    def _drawn(self, index: int) -> list[Sequence[Block]]:
        """Lay out the drawings of a subject with what finds room beside them; return the groups that found none."""
        part = self.parts[index]
        own: list[_Sheet] = []
        for forms in () if part.floats else part.drawings:
            sheet = self._sheet_for(forms, index)
            own += [] if sheet in own else [sheet]
        groups = [group for group in part.groups if group]
        return self._left_over(groups, own, index)

    def _left_over(self, groups: Sequence[Sequence[Block]], own: Sequence[_Sheet], index: int) -> list[Sequence[Block]]:
        """Place groups beside the drawings of their subject; return those that find no room there."""
        return [
            group
            for group in groups
            if not any(sheet.takes(piece, index) for piece in (self.forms.of(group) if own else ()) for sheet in own)
        ]

    def _sheet_for(self, forms: Sequence[Callable[[], DrawnSheet]], index: int) -> _Sheet:
        """Return the sheet that takes a drawing: an earlier one that has room for one of its forms, else a new one."""
        for form in forms if self.sheets else ():
            drawn = self.forms.drawn(form)
            for sheet in self.sheets:
                if sheet.takes_drawing(drawn, index):
                    return sheet
        sheet = _Sheet(self.room, index)
        # What may lie anywhere leaves room for others.
        sheet.opens_with(self.forms.drawn(forms[-1] if self.parts[index].floats else forms[0]), index)
        self.sheets.append(sheet)
        return sheet

    def _placed(self, waiting: _Waiting) -> None:
        """Place a group or drawing on the first sheet with room, else on a new one; a group taller than a sheet on several."""
        index, group = waiting.index, waiting.group
        if waiting.drawing:
            self._sheet_for(waiting.drawing, index)
            return
        order = sorted(self.sheets, key=lambda sheet: index not in sheet.holds)
        for piece in self.forms.of(group):
            if any(sheet.takes(piece, index) for sheet in order):
                return
        whole = next(self.forms.of(group), None)
        for piece in [whole] if whole is not None else parted(group, self.room):
            self.sheets.append(_Sheet(self.room, index))
            self.sheets[-1].takes(piece, index)

    def drawings(self) -> tuple[Drawing, ...]:
        """Return the finished sheets with their names."""
        ordered = sorted(self.sheets, key=lambda sheet: sheet.owner)
        homes = self._homes(ordered)
        found: list[Drawing] = []
        for position, sheet in enumerate(ordered):
            earlier = sum(other.owner == sheet.owner for other in ordered[:position])
            number = continued(self.parts[sheet.owner].number, earlier + 1)
            subjects = [sheet.owner, *(index for index, home in homes.items() if home is sheet and index != sheet.owner)]
            title = "; ".join(self.parts[index].title for index in subjects)
            held = tuple(self.parts[index].number for index in sorted({*sheet.holds, *subjects}))
            of = tuple(self.parts[index].number for index, home in homes.items() if home is sheet)
            found.append(Drawing(SheetName(number, title, sheet.scale), tuple(sheet.shapes), held, of, self._places(sheet)))
        return tuple(found)

    def _places(self, sheet: _Sheet) -> dict[str, tuple[float, float]]:
        return {self.parts[index].number: middle for index, middle in sheet.holds.items()}

    def _homes(self, ordered: Sequence[_Sheet]) -> dict[int, _Sheet]:
        """Return the sheet on which each subject is looked for: its own, else the first that holds a part of it."""
        homes: dict[int, _Sheet] = {}
        for index in range(len(self.parts)):
            own = [sheet for sheet in ordered if sheet.owner == index]
            holding = [sheet for sheet in ordered if index in sheet.holds]
            if own or holding:
                homes[index] = (own or holding)[0]
        return homes


def _around(boxes: Sequence[Box]) -> Box:
    joined = boxes[0]
    for box in boxes[1:]:
        joined = joined.joined(box)
    return joined
