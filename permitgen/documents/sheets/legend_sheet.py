"""G-002: symbols and abbreviations, those that the sheets of this set use."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING

from permitgen.documents.canvas.shapes import Group, Line, Shape, Text, moved
from permitgen.documents.canvas.styles import HEAVY, THIN, WIDE, Pen
from permitgen.documents.diagram.drafting import Drafting
from permitgen.documents.diagram.manner import ARRAY_PEN, CONTROL_PEN, ELECTRODE_PEN, ENCLOSURE_PEN, GROUND_PEN, Manner
from permitgen.documents.sheets.flowing import Block, Figure, Heading, schedule
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.sheets.part import SheetPart
from permitgen.documents.symbols import conversion, grounding, loads, markers, metering, sources, switching
from permitgen.documents.symbols.symbol import UNIT, Symbol
from permitgen.views.plan_legend import abbreviations_in
from permitgen.views.sheet_marks import NO_MARKS, SheetMarks

if TYPE_CHECKING:
    from permitgen.views.one_line import Unit

NUMBER = "G-002"
_ROW_MM = 11.0
_WORDS_MM = 34.0
_MIDDLE_MM = 16.0
_LINES: tuple[tuple[Pen, str], ...] = (
    (WIDE, "Conductors, new"),
    (THIN, "Conductors, existing"),
    (ELECTRODE_PEN, "Grounding electrode conductor"),
    (GROUND_PEN, "Equipment grounding conductor"),
    (CONTROL_PEN, "Control wiring"),
    (HEAVY, "Busbar"),
    (ENCLOSURE_PEN, "Enclosure"),
    (ARRAY_PEN, "Array boundary"),
)


def legend_part(roots: Sequence[Unit], texts: Iterable[str], marks: SheetMarks = NO_MARKS) -> SheetPart:
    """Return the legend of diagrams and sheets with their ``texts``, and the marks of clouds that they show; nothing without a diagram."""
    if not roots:
        return SheetPart(NUMBER)
    used = symbols_used(roots) | ({"delta"} if marks.clouds.mark else frozenset()) | ({"fault"} if marks.violations.listed else frozenset())
    symbols: list[Block] = [Heading("Symbols"), *(_row(symbol) for symbol in known_symbols() if symbol.name in used)]
    lines = [line for line in _LINES if line[0] is not ARRAY_PEN or "array" in used]
    kinds: list[Block] = [Heading("Lines"), *(_line_row(pen, words) for pen, words in lines)]
    abbreviations: list[Block] = [Heading("Abbreviations"), schedule(("ABBR.", "MEANING"), abbreviations_in(texts))]
    return SheetPart(NUMBER, groups=[symbols, abbreviations, kinds])


def texts_of(shapes: Iterable[Shape]) -> Iterator[str]:
    """Yield every text among shapes."""
    for shape in shapes:
        if isinstance(shape, Text):
            yield shape.text
        elif isinstance(shape, Group):
            yield from texts_of(shape.shapes)


def symbols_used(roots: Sequence[Unit]) -> frozenset[str]:
    """Return the names of the symbols that trees of units are drawn with."""
    draft = Drafting()
    return frozenset(item.name for root in roots for item, _, _ in draft(root, 0.0, Manner()).sketch.placed() if item.kind == "symbol")


@lru_cache(maxsize=1)
def known_symbols() -> tuple[Symbol, ...]:
    """Return one specimen of each symbol, in the order of the legend."""
    line = (sources.utility, metering.meter, switching.breaker, switching.fuse, switching.switch, switching.contact)
    machines = (
        conversion.inverter,
        conversion.converter,
        conversion.autotransformer,
        sources.array,
        sources.battery,
        sources.generator,
        sources.power_inlet,
    )
    rest = (
        loads.vehicle_supply,
        loads.appliance,
        loads.energy_monitor,
        loads.equipment,
        loads.initiator,
        loads.load_arrow,
        grounding.ground,
    )
    made = [make() for make in (*line, *machines, *rest)]
    made.insert(6, switching.transfer(1.6 * UNIT))
    bond = [grounding.neutral_bond("N-G BOND", is_bonded=True), grounding.neutral_bond("NO BOND", is_bonded=False)]
    return (*made, *bond, markers.circuit_tag("C1"), markers.step("1"), markers.delta("1"), markers.fault(("1",)))


def _row(symbol: Symbol) -> Figure:
    """One symbol on its line, with what it means."""
    box = symbol.box
    across = _MIDDLE_MM - (box.left + box.right) / 2
    down = _ROW_MM / 2 - (box.top + box.bottom) / 2
    style = LETTERING.text
    shapes: list[Shape] = [Group(symbol.shapes, transform=moved(across, down))]
    if symbol.name in _IN_THE_LINE:
        left, right = across + symbol.left, across + symbol.right
        shapes += [Line(left - 4.0, down, left, down, WIDE), Line(right, down, right + 4.0, down, WIDE)]
    shapes.append(Text(_WORDS_MM, _ROW_MM / 2 + style.cap_height_mm / 2, symbol.says, style))
    return Figure(tuple(shapes), _ROW_MM)


_IN_THE_LINE = frozenset(
    {"breaker", "fuse", "switch", "contact", "meter", "inverter", "converter", "transfer switch", "circuit tag", "power inlet"}
)


def _line_row(pen: Pen, words: str) -> Figure:
    style, middle = LETTERING.text, 3.5
    return Figure((Line(2.0, middle, 30.0, middle, pen), Text(_WORDS_MM, middle + style.cap_height_mm / 2, words, style)), 7.0)
