"""Fits the one-line diagram on sheets: first less text along the lines, then more sheets with match marks. Lettering never shrinks."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Protocol

from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.diagram.cutting import cut, cut_busbar, places_to_cut, with_text
from permitgen.documents.diagram.drafting import Drafting
from permitgen.documents.diagram.manner import DETAILS, GAP_MM, Detail, Manner
from permitgen.documents.diagram.sketch import Block, Sketch, snapped
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.symbols.symbol import UNIT
from permitgen.views.one_line import Unit

_COLUMNS_MM = (34.0, 32.0, 30.0, 28.0, 26.0)
_BETWEEN_TREES_MM = 8.0
_DETAILS_OVER_SHEETS: tuple[Detail, ...] = ("brief", "tags")
_MOST_ROW_AIR, _MOST_LEAD_AIR = 0.03, 0.03
"""Air between rows and in leads at most, as parts of the height and the width of the sheet."""


@dataclass(frozen=True)
class Area:
    """Room for the drawing on one sheet, mm."""

    width: float
    height: float

    def holds(self, sketch: Sketch) -> bool:
        """Whether a sketch fits."""
        box = sketch.box
        return box.width <= self.width + 1e-6 and box.height <= self.height + 1e-6


class DiagramDrafting(Protocol):
    """What drafts units: of the one-line or of the three-line diagram."""

    def __call__(self, unit: Unit, pitch: float, manner: Manner) -> Block:
        """Return a unit with everything beyond it."""

    def arrive(self, sketch: Sketch, root: Unit, block: Block, width: float) -> None:
        """Draw the lines by which a tree arrives from another sheet."""


def fit(
    roots: Sequence[Unit],
    area: Area,
    sheet: str,
    next_sheet: str,
    *,
    first: int = 1,
    with_air: bool = True,
    drafting: DiagramDrafting | None = None,
) -> tuple[Sketch, ...]:
    """Return the drawing of each sheet needed.

    ``sheet`` is the number of the first sheet of the subject, ``next_sheet`` a pattern for the others (``E-601-{}``); the drawings
    stand from the sheet ``first`` of them.
    ``with_air`` spreads a drawing that leaves room over the sheet.
    """
    draft = drafting or Drafting()
    for detail in DETAILS:
        for column in _COLUMNS_MM:
            manner = Manner(detail=detail, above_mm=column, room_mm=area.width)
            sketch = _together(roots, manner, draft)
            if sketch.box.height > area.height:
                break  # narrower columns only make it taller
            if area.holds(sketch):
                return (_with_air(roots, manner, area, draft) if with_air else sketch,)
    return _over_sheets(roots, area, lambda number: sheet if number == 1 else next_sheet.format(number), first, draft)


def _over_sheets(
    roots: Sequence[Unit], area: Area, name_of: Callable[[int | str], str], first: int, draft: DiagramDrafting
) -> tuple[Sketch, ...]:
    """Cut the trees over sheets; with no more than tags along the lines where a single unit would not fit otherwise."""
    placeholder = name_of("00")
    sketches: tuple[Sketch, ...] = ()
    for detail in _DETAILS_OVER_SHEETS:
        manner = Manner(detail=detail, above_mm=_COLUMNS_MM[0], room_mm=area.width)
        groups = _Cutter(area, manner, draft, placeholder).groups(roots)
        names = [name_of(number) for number in range(first, first + len(groups))]
        sketches = tuple(_together(group, manner, draft) for group in _with_sheet_names(groups, names, placeholder))
        if all(area.holds(sketch) for sketch in sketches):
            break
    return sketches


def _together(roots: Sequence[Unit], manner: Manner, draft: DiagramDrafting) -> Sketch:
    """Draw trees one below the other, each with where it comes from at its left."""
    whole = Sketch()
    y = 0.0
    for root in roots:
        tree = _tree(root, manner, draft)
        box = tree.box
        whole.add(tree, -box.left, y - box.top)
        y += snapped(box.height + _BETWEEN_TREES_MM)
    return whole


def _tree(root: Unit, manner: Manner, draft: DiagramDrafting) -> Sketch:
    if not root.came_from:
        return draft(root, 0.0, manner).sketch
    style = LETTERING.text
    width = snapped(text_width(root.came_from, style) + 2 * GAP_MM)
    block = draft(root, 0.0, manner.beyond(width))
    sketch = Sketch()
    draft.arrive(sketch, root, block, width)
    sketch.text(GAP_MM, min(block.entries) - 1.2, root.came_from, style)
    sketch.add(block.sketch, width, 0.0)
    return sketch


def _with_air(roots: Sequence[Unit], manner: Manner, area: Area, draft: DiagramDrafting) -> Sketch:
    """Spread rows and then lengthen leads as far as the sheet allows."""
    best = _together(roots, manner, draft)
    steps = (("row_gap_mm", UNIT / 2, area.height * _MOST_ROW_AIR), ("lead_extra_mm", UNIT, area.width * _MOST_LEAD_AIR))
    for name, step, most in steps:
        while getattr(manner, name) < most:
            tried = replace(manner, **{name: getattr(manner, name) + step})
            sketch = _together(roots, tried, draft)
            if not area.holds(sketch):
                break
            manner, best = tried, sketch
    return best


# Above so many places, a tree is cut where more hangs on and a busbar halfway between what fits and what does not: to draw it anew for
# every leaf that could leave grows with the cube of the circuits.
_MOST_TRIED = 40


class _Cutter:
    def __init__(self, area: Area, manner: Manner, draft: DiagramDrafting, placeholder: str) -> None:
        self.placeholder = placeholder
        self.area = area
        self.manner = manner
        self.draft = draft
        self.marks = 0

    def groups(self, roots: Iterable[Unit]) -> list[list[Unit]]:
        """Return the trees of each sheet. Match marks still hold a placeholder for the number of the other sheet."""
        waiting = list(roots)
        done: list[Unit] = []
        while waiting:
            root = waiting.pop(0)
            while not self._fits([root]):
                parts = self._cut_once(root)
                if parts is None:
                    break
                root, taken = parts
                waiting.insert(0, taken)
            done.append(root)
        return self._packed(done)

    def _fits(self, roots: Sequence[Unit]) -> bool:
        return self.area.holds(_together(roots, self.manner, self.draft))

    def _overflow(self, root: Unit) -> float:
        box = _together([root], self.manner, self.draft).box
        return max(0.0, box.width - self.area.width) + max(0.0, box.height - self.area.height)

    def _cut_once(self, root: Unit) -> tuple[Unit, Unit] | None:
        """Take away the unit whose leaving helps most; the smallest one if several make the rest fit."""
        mark = self._next_mark()
        before = self._overflow(root)
        best: tuple[float, float, Unit, Unit] | None = None
        places = list(places_to_cut(root))
        if len(places) > _MOST_TRIED:
            places = [(path, unit) for path, unit in places if unit.branches]
        for path, unit in places:
            kept, taken = cut(root, path, mark)
            rest, own = self._overflow(kept), self._overflow(taken)
            if rest >= before - 1e-6:
                continue
            size = sum(1 for _ in unit.walk())
            key = (rest + own, float(size))
            if best is None or key < best[:2]:
                best = (*key, kept, taken)
        if best is not None:
            return best[2], best[3]
        return self._cut_bar(root, mark)

    def _cut_bar(self, root: Unit, mark: str) -> tuple[Unit, Unit] | None:
        """Continue a busbar with more taps than a sheet has room for."""
        counts = range(1, len(root.branches))
        if len(counts) > _MOST_TRIED:
            fitting = bisect_right(counts, 1e-6, key=lambda count: self._overflow(cut_busbar(root, count, mark)[0]))
            return cut_busbar(root, counts[fitting - 1], mark) if fitting else None
        for count in reversed(counts):
            kept, rest = cut_busbar(root, count, mark)
            if self._overflow(kept) <= 1e-6:
                return kept, rest
        return None

    def _next_mark(self) -> str:
        self.marks += 1
        return f"{self.placeholder} match {_letters(self.marks)}"

    def _packed(self, roots: Sequence[Unit]) -> list[list[Unit]]:
        groups: list[list[Unit]] = []
        for root in roots:
            if groups and self._fits([*groups[-1], root]):
                groups[-1].append(root)
            else:
                groups.append([root])
        return groups


def _letters(number: int) -> str:
    """Return A, B … Z, AA, AB and so on."""
    text = ""
    while number:
        number, rest = divmod(number - 1, 26)
        text = chr(ord("A") + rest) + text
    return text


def _with_sheet_names(groups: Sequence[Sequence[Unit]], names: Sequence[str], placeholder: str) -> list[list[Unit]]:
    """Put in every match mark the number of the sheet where its other end is; the placeholder is as long as the longest number."""
    where: dict[str, list[int]] = {}
    for index, group in enumerate(groups):
        for mark in (mark for root in group for mark in _marks(root, placeholder)):
            where.setdefault(mark, []).append(index)
    result = []
    for index, group in enumerate(groups):
        renamed = list(group)
        for mark, places in where.items():
            if index in places:
                other = next((place for place in places if place != index), index)
                renamed = [with_text(root, mark, mark.replace(placeholder, names[other])) for root in renamed]
        result.append(renamed)
    return result


def _marks(root: Unit, placeholder: str) -> list[str]:
    """Return every match mark in a tree."""
    texts = [root.came_from, *(branch.reference for unit in root.walk() for branch in unit.branches)]
    return [placeholder + text.partition(placeholder)[2] for text in texts if placeholder in text]
