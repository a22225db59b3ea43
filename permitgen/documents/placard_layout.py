"""How the directory placard is laid out: title, numbered steps, map, directory, what stays live, symbols to scan.

On the usual plate list text reads at four feet; smaller plates scale it down to what reads at two.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.documents.canvas.colors import BLACK, DARK_GRAY, PALE_GRAY, SAFETY_RED, SAFETY_YELLOW, WHITE
from permitgen.documents.canvas.figures import circle, rectangle, rounded_rectangle
from permitgen.documents.canvas.shapes import Line, Shape, Text
from permitgen.documents.canvas.styles import MEDIUM, MM_PER_INCH, WIDE, TextStyle, capitals
from permitgen.documents.canvas.text_flow import Span, balanced_lines, break_lines, flow_lines, line_shapes
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.fonts.faces import CONDENSED_BOLD, CONDENSED_MEDIUM, NARROW_BOLD
from permitgen.documents.labels.alert_symbol import alert_symbol, alert_symbol_width
from permitgen.documents.qr import QrSymbol, qr_shape, sturdy_symbol
from permitgen.documents.site_map import MapStyle, placed_map

if TYPE_CHECKING:
    from permitgen.documents.canvas.page import PaperSize
    from permitgen.views.placard import Placard

# The layout is made for this width and scaled to the plate.
DESIGN_WIDTH_MM = 11 * MM_PER_INCH

MARGIN = 7.0
# Heights of capitals in mm: 0.19 in is the least for list text read at 4 ft, 0.28 in reads at 6 ft (ANSI Z535.4 by distance).
BODY = capitals(CONDENSED_MEDIUM, 4.8)
BODY_STRONG = capitals(CONDENSED_BOLD, 4.8)
STEP_PLACE = capitals(CONDENSED_BOLD, 4.9)
STEP_OBJECT = capitals(CONDENSED_MEDIUM, 4.9)
STEP_STOPS = capitals(CONDENSED_MEDIUM, 4.9, DARK_GRAY)
ADDRESS = capitals(CONDENSED_MEDIUM, 4.3)
HEADING = capitals(NARROW_BOLD, 3.6, DARK_GRAY)
SIDES = capitals(CONDENSED_MEDIUM, 3.2, DARK_GRAY)
CAPTION = capitals(CONDENSED_BOLD, 2.6, DARK_GRAY)
SMALL = capitals(CONDENSED_MEDIUM, 2.2, DARK_GRAY)
# Space between two steps in mm: the first that lets everything stand on the plate.
BETWEEN_STEPS = (4.0, 3.0, 2.2)
LEAST_SPARE_MM, MOST_TALLER_MM, MOST_APART_MM = 12.0, 60.0, 14.0
QR_MODULE_MM = 1.0
LEAST_MODULE_OUTDOORS_MM = 0.8
"""What a phone reads from an arm's length on a plate in the weather, true to size (common practice, no published source)."""


@dataclass(frozen=True, slots=True)
class _Column:
    """A column of the plate that is filled from the top down."""

    x: float
    y: float
    width: float


def laid_out(
    placard: Placard, plate: PaperSize, scale: float, between_steps: float, taller: float = 0.0
) -> tuple[list[Shape], float, float]:
    """Return the shapes, where they end, and how much height is left between them and the foot; the map is ``taller`` than the steps."""
    inner = plate.width_mm - 2 * MARGIN
    shapes: list[Shape] = [rectangle(0, 0, plate.width_mm, plate.height_mm, fill=WHITE)]
    y = _title_band(placard, plate, shapes)
    map_width = inner * 0.47 if not placard.map.is_empty else -6.0
    if placard.part == "directory":
        return _directory_alone(placard, plate, y + 6.0, scale, shapes)
    left = _Column(MARGIN, y + 6.0, inner - map_width - 6.0)
    steps_bottom = _steps(placard, left, between_steps, shapes)
    map_height = (
        0.0
        if placard.map.is_empty
        else max(_steps(placard, left, BETWEEN_STEPS[0], []) - y - 6.0, steps_bottom - y - 6.0 - taller, 84.0) + taller
    )
    if not placard.map.is_empty:
        x = plate.width_mm - MARGIN - map_width
        shapes.append(placed_map(placard.map, x, y + 6.0, map_width, map_height, heading_up_deg=placard.heading_up_deg, style=MapStyle()))
    y = max(steps_bottom, y + 6.0 + map_height) + 3.5
    y = _warning_band(placard, plate, y, shapes) + 3.5
    wide = (inner - 7.0) * 0.56 if placard.part != "steps" else -7.0
    directory = _directory(placard, _Column(MARGIN, y, wide), shapes) if placard.part != "steps" else y
    live = _stays_live(placard, _Column(MARGIN + wide + 7.0, y, inner - 7.0 - wide), shapes)
    text_bottom = max(directory, live) + 3.0
    return _closed(placard, plate, text_bottom, scale, shapes)


def _directory_alone(placard: Placard, plate: PaperSize, y: float, scale: float, shapes: list[Shape]) -> tuple[list[Shape], float, float]:
    """The second plate of a placard: every source with its disconnects, as wide as the plate."""
    inner = plate.width_mm - 2 * MARGIN
    if not placard.map.is_empty:
        shapes.append(placed_map(placard.map, MARGIN, y, inner, 120.0, heading_up_deg=placard.heading_up_deg, style=MapStyle()))
        y += 124.0
    bottom = _directory(placard, _Column(MARGIN, y, inner), shapes)
    return _closed(placard, plate, bottom + 3.0, scale, shapes)


def _closed(placard: Placard, plate: PaperSize, text_bottom: float, scale: float, shapes: list[Shape]) -> tuple[list[Shape], float, float]:
    spare = plate.height_mm - MARGIN - _foot_contents(placard, plate, 0.0, scale, []) - text_bottom
    y = _foot(placard, plate, text_bottom, scale, shapes)
    shapes.append(rectangle(0.5, 0.5, plate.width_mm - 1.0, plate.height_mm - 1.0, pen=WIDE))
    return shapes, y, spare


def _title_band(placard: Placard, plate: PaperSize, shapes: list[Shape]) -> float:
    """The mandated title on safety yellow, as large as the plate allows."""
    inner = plate.width_mm - 2 * MARGIN
    height = 15.0
    words = f"{placard.signal} {placard.heading}"
    symbol = alert_symbol_width(height * 1.1) + 4.0
    style = capitals(CONDENSED_BOLD, height)
    fit = (inner - symbol) / text_width(words, style)
    lines = [words] if fit >= 0.62 else [placard.signal, placard.heading]
    cap = min(height, height * (inner - symbol) / max(text_width(line, style) for line in lines))
    style = capitals(CONDENSED_BOLD, cap)
    band = len(lines) * cap * 1.45 + 7.0
    shapes.append(rectangle(0, 0, plate.width_mm, band, fill=SAFETY_YELLOW))
    mark = min(band - 8.0, 22.0)
    shapes += alert_symbol(MARGIN, (band - mark) / 2, mark, BLACK, SAFETY_YELLOW)
    x = MARGIN + alert_symbol_width(mark) + 4.0
    room = plate.width_mm - MARGIN - x
    cap = min(cap, cap * room / max(text_width(line, style) for line in lines))
    style = capitals(CONDENSED_BOLD, cap)
    top = (band - (len(lines) * cap * 1.45 - cap * 0.45)) / 2
    shapes += [Text(x, top + cap + index * cap * 1.45, line, style) for index, line in enumerate(lines)]
    shapes.append(Line(0.5, band, plate.width_mm - 0.5, band, WIDE))
    sources = capitals(CONDENSED_BOLD, 4.4)
    text = f"{placard.text.phrases.say('what_is_here')}: {placard.text.phrases.listed(placard.text.sources)}."
    y = band + 3.0
    for line in break_lines(text, sources, inner):
        y += 4.4 + 2.6
        shapes.append(Text(MARGIN, y, line, sources))
    return y


def _steps(placard: Placard, column: _Column, between: float, shapes: list[Shape]) -> float:
    """Numbered steps: place, object, action; a numeral an inch high."""
    y = column.y
    shapes.append(Text(column.x, y + HEADING.cap_height_mm, placard.text.phrases.say("shut_down_in_this_order").upper(), HEADING))
    y += HEADING.cap_height_mm
    if placard.text.sides:
        y = _lines(placard.text.sides, SIDES, column.x, y, column.width, shapes)
    y += 4.0
    disc = 12.0
    numeral = capitals(CONDENSED_BOLD, 7.5, WHITE)
    room = column.width - disc - 4.0
    for step in placard.text.steps:
        x, top = column.x + disc + 4.0, y
        baseline = _lines(step.place.upper(), STEP_PLACE, x, y, room, shapes, balanced=True)
        baseline = _lines(step.object, STEP_OBJECT, x, baseline + 0.6, room, shapes)
        stops = f" – {step.stops}" if step.stops else ""
        doubt = f" – {step.unproven}" if step.unproven else ""
        action = (Span(step.action.upper(), STEP_PLACE), Span(stops, STEP_STOPS), Span(doubt, STEP_OBJECT))
        for line in flow_lines(action, room):
            baseline += STEP_PLACE.cap_height_mm + 2.6
            shapes += line_shapes(line, x, baseline, room)
        middle = top + 2.0 + disc / 2
        shapes.append(circle(column.x + disc / 2, middle, disc / 2, fill=BLACK))
        shapes.append(Text(column.x + disc / 2, middle + numeral.cap_height_mm / 2, str(step.number), numeral, "middle"))
        y = max(baseline, top + disc + 2.0) + between
    return y


def _lines(text: str, style: TextStyle, x: float, y: float, width: float, shapes: list[Shape], *, balanced: bool = False) -> float:
    for line in balanced_lines(text, style, width) if balanced else break_lines(text, style, width):
        y += style.cap_height_mm + 2.2
        shapes.append(Text(x, y, line, style))
    return y


def _warning_band(placard: Placard, plate: PaperSize, y: float, shapes: list[Shape]) -> float:
    """What must not be misunderstood, white on red, after the steps."""
    lines = [line for line in (placard.text.warning, placard.text.wait) if line]
    if not lines:
        return y
    style = capitals(CONDENSED_BOLD, 4.4, WHITE)
    inner = plate.width_mm - 2 * MARGIN - 8.0
    broken = [part for line in lines for part in balanced_lines(line, style, inner)]
    height = len(broken) * (style.cap_height_mm + 2.9) + 4.6
    shapes.append(rounded_rectangle(MARGIN, y, plate.width_mm - 2 * MARGIN, height, radius=1.5, fill=SAFETY_RED))
    baseline = y + 2.3
    for line in broken:
        baseline += style.cap_height_mm + 2.0
        shapes.append(Text(plate.width_mm / 2, baseline, line, style, "middle"))
        baseline += 0.9
    return y + height


def _heading(text: str, column: _Column, shapes: list[Shape]) -> float:
    shapes.append(Text(column.x, column.y + HEADING.cap_height_mm, text.upper(), HEADING))
    y = column.y + HEADING.cap_height_mm + 1.6
    shapes.append(Line(column.x, y, column.x + column.width, y, MEDIUM))
    return y


def _paragraph(text: str, style: TextStyle, x: float, y: float, width: float, shapes: list[Shape]) -> float:
    for line in break_lines(text, style, width):
        y += style.cap_height_mm + 2.4
        shapes.append(Text(x, y, line, style))
    return y


def _directory(placard: Placard, column: _Column, shapes: list[Shape]) -> float:
    """Every source with the place of each of its disconnecting means."""
    y = _heading("Directory of disconnects", column, shapes) + 0.6
    for entry in placard.directory:
        spans = (Span(f"{entry.source}: ", BODY_STRONG), Span(entry.disconnects, BODY))
        for index, line in enumerate(flow_lines(spans, column.width - 3.0)):
            y += BODY.cap_height_mm + (3.2 if index == 0 else 2.2)
            shapes += line_shapes(line, column.x + (0.0 if index == 0 else 3.0), y, column.width)
    return y


def _stays_live(placard: Placard, column: _Column, shapes: list[Shape]) -> float:
    """What no step makes dead, and where batteries stand."""
    phrases = placard.text.phrases
    y = _heading(phrases.say("stays_live"), column, shapes) + 0.6
    for line in placard.text.stays_live:
        shapes.append(rectangle(column.x, y + 3.6, 2.2, 2.2, fill=SAFETY_RED))
        y = _paragraph(line, BODY_STRONG, column.x + 4.0, y, column.width - 4.0, shapes) + 0.6
    if placard.text.storage:
        y = _heading(phrases.say("storage_here"), _Column(column.x, y + 4.0, column.width), shapes) + 0.6
        for unit in placard.text.storage:
            y = _paragraph(f"{unit.units}: {unit.energy}, {unit.chemistry}, {unit.place}", BODY, column.x, y, column.width, shapes)
    if placard.see_also:
        y = _heading("Other placards", _Column(column.x, y + 4.0, column.width), shapes) + 0.6
        for line in placard.see_also:
            y = _paragraph(line, BODY, column.x, y, column.width, shapes)
    return y


def _foot(placard: Placard, plate: PaperSize, y: float, scale: float, shapes: list[Shape]) -> float:
    """Contact, the two symbols with what they hold in print, and which print this is."""
    height = _foot_contents(placard, plate, 0.0, scale, [])
    y = max(y, plate.height_mm - MARGIN - height)
    shapes.append(rectangle(0, y, plate.width_mm, plate.height_mm - y, fill=PALE_GRAY))
    shapes.append(Line(0.5, y, plate.width_mm - 0.5, y, MEDIUM))
    return _foot_contents(placard, plate, y, scale, shapes)


def _foot_contents(placard: Placard, plate: PaperSize, y: float, scale: float, shapes: list[Shape]) -> float:
    top = y + 3.0
    x = plate.width_mm - MARGIN
    symbols = [(plate_symbol(text), module, caption) for text, module, caption in _symbols(placard, scale)]
    tallest = max((symbol.width_mm(module) for symbol, module, _ in symbols), default=0.0)
    for symbol, module, caption in symbols:
        side = symbol.width_mm(module)
        x -= side
        shapes.append(qr_shape(symbol, x, top + tallest - side, module))
        shapes.append(Text(x + side / 2, top + tallest + CAPTION.cap_height_mm + 1.4, caption, CAPTION, "middle"))
        x -= 4.0
    height = tallest + CAPTION.cap_height_mm + 2.4 if symbols else 0.0
    room = x - MARGIN
    bottom = top
    phrases = placard.text.phrases
    for line in (phrases.say("call_911"), f"{phrases.say('contact')}: {placard.text.contact}" if placard.text.contact else ""):
        bottom = _paragraph(line, BODY_STRONG, MARGIN, bottom, room, shapes) if line else bottom
    if placard.address:
        bottom = _paragraph(placard.address, ADDRESS, MARGIN, bottom + 1.6, room, shapes)
    permit = f"Permit {placard.permit_number}, {placard.jurisdiction}." if placard.permit_number else f"{placard.jurisdiction}."
    small = (
        f"Placard {placard.number} of {placard.of}{_PARTS[placard.part]}, {placard.place}. {permit}",
        f"Revision {placard.revision}, {placard.revision_date}. Document ID {placard.document_id}. {placard.section}. Not to scale.",
        " ".join(_cautions(placard)),
    )
    for line in small:
        bottom = _small(line, MARGIN, bottom + 0.6, room, shapes)
    return max(bottom, top + height)


_PARTS = {"": "", "steps": ", first plate of two", "directory": ", second plate of two"}


def _cautions(placard: Placard) -> list[str]:
    several = ["More than one switch must be opened."] if len(placard.text.steps) > 1 else []
    return ["Treat every conductor as energized until tested.", *several, "The building department has the last word."]


def plate_symbol(text: str) -> QrSymbol:
    """Return the symbol of a text on a plate; the steps take version 10 or more: of smaller ones one reader loses more to a patch."""
    return sturdy_symbol(text, 1 if "://" in text else _LEAST_VERSION_OF_STEPS)


_LEAST_VERSION_OF_STEPS = 10


def _symbols(placard: Placard, scale: float) -> list[tuple[str, float, str]]:
    """The symbols from right to left: text, module size before scaling, caption. Modules stay large enough to be read."""
    least = LEAST_MODULE_OUTDOORS_MM / scale
    wanted = [
        (placard.offline, least, "SCAN: STEPS, NO INTERNET NEEDED"),
        (placard.address, max(QR_MODULE_MM, least), "SCAN: FULL RECORD"),
    ]
    return [symbol for symbol in wanted if symbol[0]]


def _small(text: str, x: float, y: float, width: float, shapes: list[Shape]) -> float:
    for line in break_lines(text, SMALL, width):
        y += SMALL.cap_height_mm + 1.5
        shapes.append(Text(x, y, line, SMALL))
    return y
