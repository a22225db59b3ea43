"""The face of a panel: spaces in proportion, each breaker in its own, the main at its end; sources, loads and spares read apart in gray."""

from __future__ import annotations

import itertools
from typing import TYPE_CHECKING

from permitgen.documents.canvas.bounds import Box
from permitgen.documents.canvas.colors import BLACK, WHITE
from permitgen.documents.canvas.figures import polygon, rectangle
from permitgen.documents.canvas.shapes import Line, Shape, Text
from permitgen.documents.canvas.styles import EXTRA_WIDE, FINE, HEAVY, SHORT_DASH, THIN, WIDE, Pen
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.sheets.flowing import Block, Figure, Heading, Paragraph
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.sheets.violation_list import violation_notes
from permitgen.documents.symbols.clouds import BULGE_MM, CLEAR_MM, FAULT_PEN, cloud
from permitgen.documents.symbols.markers import DELTA_SIDE_MM, delta, fault, fault_width

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from permitgen.views.panel_faces import FaceBreaker, PanelFace
    from permitgen.views.sheet_marks import SheetMarks

_SPACE_MM = 5.2
_NUMBER_MM = 7.0
_BUS_MM = 6.0
_MAIN_MM = 7.4
_ARROW_MM = 3.4
_PAD_MM = 1.2
_LEAST_MM = 34.0
KEY = "Heavy outline with an arrow to the busbar: a source. Thin: a load. Dashed: a spare. Crossed: blank. Empty: not stated."


def panel_blocks(face: PanelFace, marks: SheetMarks, *, with_key: bool) -> list[Block]:
    """Return a panel under its title, with what its busbar is judged by below."""
    drawn = _Face(face, marks)
    blocks: list[Block] = [Heading(face.schedule.title), Figure(tuple(drawn.shapes), drawn.height)]
    blocks += [Paragraph(line) for line in face.sums]
    blocks += violation_notes(marks, marks.faults_of(face.schedule))
    if face.beside:
        blocks.append(Paragraph(f"Space not stated: {'; '.join(face.beside)}."))
    if with_key:
        blocks.append(Paragraph(KEY))
    return blocks


class _Face:
    """Draws one panel with its origin at the top left."""

    def __init__(self, face: PanelFace, marks: SheetMarks) -> None:
        self.face, self.marks = face, marks
        self.shapes: list[Shape] = []
        self.beyond: list[Shape] = []
        self.width = self._column_width()
        self.left = self._room_for_marks()
        self.right_edge = self.left + 2 * _NUMBER_MM + 2 * self.width + _BUS_MM
        self.height = self._draw()

    def _column_width(self) -> float:
        main = text_width(self.face.main, LETTERING.strong) + 2 * _PAD_MM
        named = max((_width(each) for each in self._named()), default=0.0)
        beside = max((sum(_width(each) for each in group) for group in self._groups()), default=0.0)
        return max(_LEAST_MM, beside, (max(main, named) - _BUS_MM) / 2)

    def _room_for_marks(self) -> float:
        rows = range(len(self.face.schedule.rows))
        faults = max((fault_width(numbers) + 2.0 for row in rows if (numbers := self._faults(row))), default=0.0)
        changed = any(self._mark(row) for row in rows)
        return max(faults, DELTA_SIDE_MM + CLEAR_MM if changed else 0.0)

    def _named(self) -> list[FaceBreaker]:
        return [each for each in self.face.breakers if not each.spaces]

    def _groups(self) -> Iterator[list[FaceBreaker]]:
        """Yield breakers that share a space, beside each other; most stand alone."""
        placed = sorted((each for each in self.face.breakers if each.spaces), key=lambda each: (each.spaces[0] % 2 == 0, each.spaces[0]))
        group: list[FaceBreaker] = []
        for each in placed:
            if group and not set(each.spaces) & set(itertools.chain.from_iterable(other.spaces for other in group)):
                yield group
                group = []
            group.append(each)
        if group:
            yield group

    def _draw(self) -> float:
        """Draw from the top down: what is at the top end, the spaces, what is at the bottom end, what stands at terminals."""
        face = self.face
        y = self._main(0.0) if face.supply_end in ("top", "", None) else self._lugs(0.0) if face.supply_end == "bottom" else 0.0
        tops = self._tops(y)
        bottom = tops[-1] + _SPACE_MM if tops else y
        self._spaces(tops)
        for group in self._groups():
            self._group(group, tops)
        y = self._main(bottom) if face.supply_end == "bottom" else self._lugs(bottom)
        for each in self._named():
            self._breaker(each, Box(self.left + _NUMBER_MM, y, self.right_edge - _NUMBER_MM, y + _SPACE_MM), at_left=True)
            y += _SPACE_MM
        bus = self.left + _NUMBER_MM + self.width + _BUS_MM / 2
        under: list[Shape] = [rectangle(self.left, 0.0, self.right_edge - self.left, y, pen=EXTRA_WIDE, fill=WHITE)]
        under += [Line(bus, top, bus, top + _SPACE_MM, HEAVY) for top in tops]
        self.shapes = [*under, *self.shapes, *self.beyond]
        return y

    def _tops(self, y: float) -> list[float]:
        """Return the upper edges of the rows of spaces; a main at the center stands between them."""
        highest = max([self.face.spaces, *(space for each in self.face.breakers for space in each.spaces)])
        rows = (highest + 1) // 2
        if self.face.supply_end != "center":
            return [y + row * _SPACE_MM for row in range(rows)]
        self._main(y + rows // 2 * _SPACE_MM)
        return [y + row * _SPACE_MM + (_MAIN_MM if row >= rows // 2 else 0.0) for row in range(rows)]

    def _main(self, y: float) -> float:
        """Draw the main across the panel at its end, marked as the end of the supply."""
        words = self.face.main if self.face.supply_end != "" else f"{self.face.main}, END OF SUPPLY NOT STATED"
        box = Box(self.left + _NUMBER_MM, y, self.right_edge - _NUMBER_MM, y + _MAIN_MM)
        self.shapes.append(rectangle(box.left, box.top, box.width, box.height, pen=EXTRA_WIDE))
        self.shapes.append(
            Text((box.left + box.right) / 2, (box.top + box.bottom + LETTERING.strong.cap_height_mm) / 2, words, LETTERING.strong, "middle")
        )
        if self.face.main_row is not None:
            self._marks(self.face.main_row, box, at_left=True)
        return y + _MAIN_MM

    def _lugs(self, y: float) -> float:
        """Draw feed-through lugs, where there are some, at the end opposite the main."""
        if not self.face.lugs:
            return y
        box = Box(self.left + _NUMBER_MM, y, self.right_edge - _NUMBER_MM, y + _MAIN_MM)
        words, style = self.face.lugs, LETTERING.text
        self.shapes.append(rectangle(box.left, box.top, box.width, box.height, pen=THIN))
        self.shapes.append(Text((box.left + box.right) / 2, (box.top + box.bottom + style.cap_height_mm) / 2, words, style, "middle"))
        return y + _MAIN_MM

    def _box(self, space: int, tops: Sequence[float]) -> Box:
        x = self.left + _NUMBER_MM + (0.0 if space % 2 else self.width + _BUS_MM)
        top = tops[(space - 1) // 2]
        return Box(x, top, x + self.width, top + _SPACE_MM)

    def _spaces(self, tops: Sequence[float]) -> None:
        for space in range(1, 2 * len(tops) + 1):
            box = self._box(space, tops)
            x = self.left + _NUMBER_MM / 2 if space % 2 else self.right_edge - _NUMBER_MM / 2
            self.shapes.append(Text(x, (box.top + box.bottom + LETTERING.text.cap_height_mm) / 2, str(space), LETTERING.text, "middle"))
            if space <= self.face.spaces:
                self.shapes.append(rectangle(box.left, box.top, box.width, box.height, pen=FINE))
            if space in self.face.blank:
                self.shapes += [
                    Line(box.left, box.top, box.right, box.bottom, FINE),
                    Line(box.left, box.bottom, box.right, box.top, FINE),
                ]

    def _group(self, group: Sequence[FaceBreaker], tops: Sequence[float]) -> None:
        spare = self.width - sum(_width(each) for each in group)
        x = self._box(group[0].spaces[0], tops).left
        for each in group:
            boxes = [self._box(space, tops) for space in each.spaces]
            width = _width(each) + spare / len(group)
            self._breaker(each, Box(x, boxes[0].top, x + width, boxes[-1].bottom), at_left=each.spaces[0] % 2 == 1)
            x += width

    def _breaker(self, each: FaceBreaker, box: Box, *, at_left: bool) -> None:
        pens = {"source": WIDE, "load": THIN, "spare": Pen(THIN.width_mm, dash_mm=SHORT_DASH)}
        inner = box.grown(-0.45)
        self.shapes.append(rectangle(inner.left, inner.top, inner.width, inner.height, pen=pens[each.kind], fill=WHITE))
        style = LETTERING.strong if each.kind == "source" else LETTERING.text
        middle = (box.top + box.bottom) / 2
        x = inner.left + _PAD_MM
        if each.kind == "source":
            tip, back = (inner.right - 0.8, inner.right - 0.8 - _ARROW_MM) if at_left else (inner.left + 0.8, inner.left + 0.8 + _ARROW_MM)
            self.shapes.append(polygon(((tip, middle), (back, middle - 1.5), (back, middle + 1.5)), fill=BLACK))
            x = x if at_left else inner.left + _ARROW_MM + 2 * _PAD_MM
        self.shapes.append(Text(x, middle + style.cap_height_mm / 2, each.words, style))
        self._marks(each.row, box, at_left=at_left)

    def _marks(self, row: int, box: Box, *, at_left: bool) -> None:
        """Cloud what the revision changed and what is violated, with the number outside the panel."""
        numbers, mark = self._faults(row), self._mark(row)
        inner, middle = box.grown(-BULGE_MM), (box.top + box.bottom) / 2
        if mark:
            self.shapes += cloud(inner)
            x = self.left - CLEAR_MM - DELTA_SIDE_MM / 2 if at_left else self.right_edge + CLEAR_MM + DELTA_SIDE_MM / 2
            self.beyond += delta(mark).at(x, middle + 1.0)
        if numbers:
            self.shapes += cloud(inner, FAULT_PEN)
            half = fault_width(numbers) / 2 + 1.0
            self.beyond += fault(numbers).at(self.left - half if at_left else self.right_edge + half, middle)

    def _faults(self, row: int) -> tuple[str, ...]:
        return self.marks.faults_of_row(self.face.schedule, row)

    def _mark(self, row: int) -> str:
        return self.marks.clouds.mark_of_row(self.face.schedule.title, self.face.schedule.rows[row])


def _width(each: FaceBreaker) -> float:
    style = LETTERING.strong if each.kind == "source" else LETTERING.text
    return text_width(each.words, style) + 2 * _PAD_MM + 1.0 + (_ARROW_MM + 2 * _PAD_MM if each.kind == "source" else 0.0)
