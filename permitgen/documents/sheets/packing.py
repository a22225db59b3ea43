"""Packs the subjects of a discipline on as few sheets as hold them, each subject on one sheet or on sheets that follow each other.

A subject is placed as a whole: into the free room of one sheet or of neighbors, else on sheets of its own, which later subjects fill up.
Several orders are tried; the arrangement with the fewest sheets is taken, of those the one that keeps most in the order of the subjects.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from permitgen.documents.canvas.bounds import Box
from permitgen.documents.sheets.block_forms import GroupForms, Piece, begun, parted
from permitgen.documents.sheets.filling import FilledSheet, PlacedDrawing, PlacedGroup, around
from permitgen.documents.sheets.flowing import Block
from permitgen.documents.sheets.naming import named
from permitgen.documents.sheets.packing_cost import Sheets, cost, fewest, room_in_one_piece
from permitgen.documents.sheets.part import DrawnSheet, SheetPart
from permitgen.documents.sheets.settling import settled, squeezed
from permitgen.documents.sheets.sheet import Drawing

_Group = Sequence[Block]
_MOST_SHARED = 2
"""Over so many sheets with free room a subject may be spread before it opens one of its own."""


def packed(parts: Sequence[SheetPart], room: Box) -> tuple[Drawing, ...]:
    """Return the sheets of one discipline, in the order of its subjects."""
    forms = _Forms(room)
    best: Sheets = ()
    for forms.tight in (False, True):
        for sheets in _arrangements(parts, forms):
            if not best or cost(sheets) < cost(best):
                best = sheets
            if len(best) <= fewest(best, room) and not any(cost(best)[1:4]):
                break
        if len(best) <= _LOOSE * fewest(best, room):
            break
    return named(parts, [settled(sheet) for sheet in best])


_LOOSE = 1.25
"""Sheets are packed tight, which takes much longer, where there are so many times the fewest that would hold all."""


@dataclass(frozen=True, slots=True)
class _Content:
    """What is still to be placed of a subject; ``is_begun`` when some of it lies already."""

    drawings: tuple[PlacedDrawing, ...]
    together: tuple[_Group, ...]
    groups: tuple[_Group, ...]
    floats: bool
    is_begun: bool = False

    @classmethod
    def of(cls, part: SheetPart, index: int) -> _Content:
        """Return all of a subject."""
        together, others = part.groups[: part.together], part.groups[part.together :]
        drawings = (
            PlacedDrawing(index, tuple(map(_once, forms)), 0, part.floats, opens=at < part.part_ways > 1)
            for at, forms in enumerate(part.drawings)
        )
        return cls(tuple(drawings), tuple(filter(None, together)), tuple(filter(None, others)), part.floats)

    def in_smallest_forms(self) -> _Content:
        """Return the same with drawings in no form but their smallest; what floats has its smallest anyway where it opens a sheet."""
        if self.floats:
            return self
        return replace(self, drawings=tuple(replace(drawing, form=len(drawing.forms) - 1) for drawing in self.drawings))

    def __bool__(self) -> bool:
        return bool(self.drawings or self.together or self.groups)


def _once(form: Callable[[], DrawnSheet]) -> Callable[[], DrawnSheet]:
    """Return a form that is drawn once, however often it is asked for."""
    return lru_cache(maxsize=1)(form)


class _Forms:
    """The forms of groups, and the sheets to which they were added: each made once and not before it is asked for.

    Orders and windows come to the same few sheets over and over; nothing changes a sheet that is filled so far, so it is kept.
    ``spares`` is how the sheets are filled that are begun from now on; where they are ``tight``, things take other forms for
    each other, and a table may begin in the room that the sheet before has left.
    """

    def __init__(self, room: Box) -> None:
        self.room = room
        self.spares = self.tight = False
        self._made: dict[int, tuple[_Group, GroupForms]] = {}
        self._fresh: dict[tuple[PlacedDrawing, bool], FilledSheet | None] = {}
        self._blank: dict[tuple[int, bool], FilledSheet] = {}
        self._filled: dict[tuple[FilledSheet, int, int, bool], FilledSheet | None] = {}

    def of(self, group: _Group) -> GroupForms:
        """Return the forms of a group, the best first."""
        if id(group) not in self._made:
            self._made[id(group)] = (group, GroupForms(group, self.room))
        return self._made[id(group)][1]

    def blank(self, index: int) -> FilledSheet:
        """Return a sheet with nothing on it."""
        key = (index, self.spares)
        if key not in self._blank:
            self._blank[key] = FilledSheet(self.room, index, spares=self.spares)
        return self._blank[key]

    def filled(self, sheet: FilledSheet, group: _Group, index: int) -> FilledSheet | None:
        """Return a sheet with a group of a subject, None where it finds no room."""
        key = (sheet, id(group), index, self.tight)
        if key not in self._filled:
            found = sheet.with_group(self.of(group), index)
            self._filled[key] = squeezed(sheet, self.of(group), index) if found is None and self.tight else found
        return self._filled[key]

    def fresh(self, drawing: PlacedDrawing) -> FilledSheet | None:
        """Return a sheet with nothing on it but a drawing."""
        key = (drawing, self.spares)
        if key not in self._fresh:
            self._fresh[key] = self.blank(drawing.part).with_drawing(drawing)
        return self._fresh[key]

    def area(self, group: _Group) -> float:
        """Return how much of a sheet a group takes."""
        first = next(iter(self.of(group)), None)
        return first.width * first.height if first is not None else self.room.width * self.room.height

    def is_taller_than_a_sheet(self, content: _Content) -> bool:
        """Whether a group fits no sheet and takes several."""
        return any(next(iter(self.of(group)), None) is None for group in content.groups)

    def area_of(self, content: _Content) -> float:
        """Return how much of a sheet tables, and drawings in their smallest form, take."""
        boxes = [around(drawing.forms[-1]().taken) for drawing in content.drawings]
        return sum(map(self.area, (*content.together, *content.groups))) + sum(box.width * box.height for box in boxes)


def _arrangements(parts: Sequence[SheetPart], forms: _Forms) -> Iterator[Sheets]:
    """Yield the subjects on their sheets, placed in several ways: the drawings of all before any table, or each subject as a whole.

    Drawings are taken as large as they can be first, then as small as they may be.
    """
    whole = {index: _Content.of(part, index) for index, part in enumerate(parts) if not part.is_empty}
    small = {index: content.in_smallest_forms() for index, content in whole.items()}
    ways = [(whole, False, True), (whole, False, False), (whole, True, True)]
    ways += [(small, False, False), (small, False, True), (small, True, True)] if small != whole else []
    for contents, spares, drawings_first in ways:
        forms.spares = spares
        sheets: Sheets = ()
        waiting = dict(contents)
        for index in [index for index, content in waiting.items() if content.drawings and drawings_first]:
            sheets, waiting[index] = _with_drawings(sheets, waiting[index], index, forms)
        for order in _orders_of_subjects({index: content for index, content in waiting.items() if content}, forms):
            found = _arranged(sheets, [(index, waiting[index]) for index in order], forms)
            if found is not None:
                yield found


def _orders_of_subjects(contents: Mapping[int, _Content], forms: _Forms) -> Iterator[tuple[int, ...]]:
    """Yield orders of the subjects, each once: as they come, the tallest first, the largest first.

    What goes on from a drawing has few places, so it comes before what has none yet.
    """
    tried: set[tuple[int, ...]] = set()
    for key in (
        lambda _index: 0,
        lambda index: not forms.is_taller_than_a_sheet(contents[index]),
        lambda index: -forms.area_of(contents[index]),
    ):
        ordered = sorted(contents, key=key)
        order = tuple(sorted(ordered, key=lambda index: not contents[index].is_begun))
        if order not in tried:
            tried.add(order)
            yield order


def _arranged(sheets: Sheets, waiting: Iterable[tuple[int, _Content]], forms: _Forms) -> Sheets | None:
    """Return the sheets with all subjects; None where one finds no place that leaves every other on sheets that follow each other."""
    kept = [sheets]
    for index, content in waiting:
        found = [each for sheets in kept for each in _with_subject(sheets, content, index, forms)]
        kept = sorted(found, key=room_in_one_piece if forms.tight else cost)[:_KEPT]
    return kept[0] if kept else None


_KEPT = 6
"""Of the arrangements of some subjects, so many go on to the next subject."""


def _with_drawings(sheets: Sheets, content: _Content, index: int, forms: _Forms) -> tuple[Sheets, _Content]:
    """Return the sheets with the drawings of a subject and what of its tables finds room beside them; and what found none."""
    drawings = replace(content, together=(), groups=())
    found = min(_with_subject(sheets, drawings, index, forms), key=cost, default=None)
    if found is None:
        return sheets, content
    own = [position for position, sheet in enumerate(found) if index in sheet.holds]
    placing = _Placing(content, index, forms, found[own[0] : own[-1] + 1], may_open=False)
    left = placing.takes_what_fits()
    return (*found[: own[0]], *placing.sheets, *found[own[-1] + 1 :]), left


def _with_subject(sheets: Sheets, content: _Content, index: int, forms: _Forms) -> Iterator[Sheets]:
    """Yield the sheets with one more subject: in the free room that there is, or with sheets of its own."""
    for (start, count, may_open), groups in itertools.product(_windows(sheets, index), _orders(content.groups, forms)):
        placing = _Placing(replace(content, groups=groups), index, forms, sheets[start : start + count], may_open=may_open)
        if placing.is_placed():
            kept = (*sheets[:start], *placing.sheets, *sheets[start + count :])
            after = sum(sheet.owner <= index for sheet in kept)
            found = (*kept[:after], *placing.opened, *kept[after:])
            if _follows(found):
                yield found


def _orders(groups: tuple[_Group, ...], forms: _Forms) -> list[tuple[_Group, ...]]:
    """Return in which orders some tables are placed: as they come, the largest first, each of them last."""
    largest = tuple(sorted(groups, key=lambda group: -forms.area(group)))
    last = [(*groups[:at], *groups[at + 1 :], groups[at]) for at in range(len(groups) - 1)]
    return list({tuple(map(id, order)): order for order in (groups, largest, *last)}.values())


def _windows(sheets: Sheets, index: int) -> Iterator[tuple[int, int, bool]]:
    """Yield from which sheet how many may be used, and whether others may be opened."""
    own = [position for position, sheet in enumerate(sheets) if index in sheet.holds]
    if own:
        first, last = own[0], own[-1] + 1
        wider = [
            (first, last),
            (first, min(len(sheets), last + 1)),
            (max(0, first - 1), last),
            (max(0, first - 1), min(len(sheets), last + 1)),
        ]
        yield from ((start, end - start, may_open) for may_open in (False, True) for start, end in wider)
        return
    for count in range(1, _MOST_SHARED + 1):
        yield from ((start, count, False) for start in range(len(sheets) - count + 1))
    after = sum(sheet.owner <= index for sheet in sheets)
    yield after, 0, True
    if after:
        yield after - 1, 1, True


def _follows(sheets: Sheets) -> bool:
    """Whether every subject stands on one sheet or on sheets that follow each other."""
    where: dict[int, list[int]] = {}
    for position, sheet in enumerate(sheets):
        for index in sheet.holds:
            where.setdefault(index, []).append(position)
    return all(places[-1] - places[0] == len(places) - 1 for places in where.values())


class _Placing:
    """One subject put on some sheets, of which copies are taken."""

    def __init__(self, content: _Content, index: int, forms: _Forms, sheets: Sheets, *, may_open: bool) -> None:
        self.content, self.index, self.forms, self.may_open = content, index, forms, may_open
        self.sheets = list(sheets)
        self.opened: list[FilledSheet] = []

    def is_placed(self) -> bool:
        """Place drawings, then tables; say whether all of them found room."""
        if not self.may_open and sum(sheet.space.free_area for sheet in self.sheets) < self.forms.area_of(self.content) * _LEAST_OF_AREA:
            return False
        return (
            all(map(self._takes_drawing, self.content.drawings))
            and (not self.content.together or self._takes_together(self.content.together))
            and all(self._takes((group,)) for group in self.content.groups)
        )

    def takes_what_fits(self) -> _Content:
        """Place the tables that find room; return those that find none."""
        left = tuple(group for group in self.content.groups if not self._takes((group,)))
        together = self.content.together
        return _Content((), () if together and self._takes(together) else together, left, self.content.floats, is_begun=True)

    def _takes_drawing(self, drawing: PlacedDrawing) -> bool:
        may_share = (self.sheets or self.opened) and not drawing.opens
        for form in range(drawing.form, len(drawing.forms)) if may_share else ():
            for among, at in self._places():
                found = among[at].with_drawing(replace(drawing, form=form))
                if found is not None:
                    among[at] = found
                    return True
        if not self.may_open:
            return False
        # What may lie anywhere leaves room for others.
        fresh = self.forms.fresh(replace(drawing, form=len(drawing.forms) - 1) if drawing.floats else drawing)
        self.opened += [fresh] if fresh is not None else []
        return fresh is not None

    def _takes_together(self, groups: Sequence[_Group]) -> bool:
        """Place groups on one sheet, as they come or the largest first; where no sheet holds them all, each by itself."""
        largest = sorted(groups, key=lambda group: -self.forms.area(group))
        return (
            self._takes(groups, may_open=False)
            or self._takes(largest, may_open=False)
            or (self.may_open and (self._takes(groups) or self._takes(largest) or all(self._takes((group,)) for group in groups)))
        )

    def _takes(self, groups: Sequence[_Group], *, may_open: bool = True) -> bool:
        """Place some groups on one sheet; a single one taller than a sheet on several."""
        for among, at in self._places():
            found = self._filled(among[at], groups)
            if found is not None:
                among[at] = found
                return True
        if not (self.may_open and may_open):
            return False
        if len(groups) == 1 and self.forms.tight and self._begins(groups[0]):
            return True
        fresh = self._filled(self.forms.blank(self.index), groups)
        if fresh is not None:
            self.opened.append(fresh)
            return True
        if len(groups) > 1:
            return False
        self._opens(parted(groups[0], self.forms.room))
        return True

    def _begins(self, group: _Group) -> bool:
        """Begin a table in the room that the last sheet has left, and go on with it on sheets of its own."""
        among = self.opened or self.sheets
        found = begun(group, among[-1].space.largest, self.forms.room) if among else None
        if found is None:
            return False
        place, (first, *others) = found
        among[-1] = among[-1].with_piece(PlacedGroup(self.index, first, None), place)
        self._opens(others)
        return True

    def _opens(self, pieces: Iterable[Piece]) -> None:
        place = (self.forms.room.left, self.forms.room.top)
        self.opened += [self.forms.blank(self.index).with_piece(PlacedGroup(self.index, piece, None), place) for piece in pieces]

    def _filled(self, sheet: FilledSheet, groups: Sequence[_Group]) -> FilledSheet | None:
        for group in groups:
            found = self.forms.filled(sheet, group, self.index)
            if found is None:
                return None
            sheet = found
        return sheet

    def _places(self) -> list[tuple[list[FilledSheet], int]]:
        """Where something may lie, the sheets that hold of the subject already first."""
        places = [(self.sheets, at) for at in range(len(self.sheets))] + [(self.opened, at) for at in range(len(self.opened))]
        return sorted(places, key=lambda place: self.index not in place[0][place[1]].holds)


_LEAST_OF_AREA = 0.8
"""Forms in columns may take a little less than the first form of a group: below this share of it nothing is tried."""
