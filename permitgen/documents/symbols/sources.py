"""Sources: utility, generator, photovoltaic array, battery."""

from __future__ import annotations

from functools import lru_cache

from permitgen.documents.canvas.colors import BLACK
from permitgen.documents.canvas.figures import arrowhead, circle, rectangle
from permitgen.documents.canvas.shapes import Curve, Line, Move, Path, Polyline, Shape, Text
from permitgen.documents.canvas.styles import HEAVY, Pen
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.symbols.symbol import NEW, UNIT, Inks, Symbol


def sine(x: float, y: float, width: float, height: float, pen: Pen) -> Path:
    """Return one period of a sine as a path, centered at (x, y)."""
    left, quarter = x - width / 2, width / 2
    k = 0.36 * quarter
    return Path(
        (
            Move(left, y),
            Curve(left + k, y - height * 0.67, left + quarter - k, y - height * 0.67, left + quarter, y),
            Curve(left + quarter + k, y + height * 0.67, left + 2 * quarter - k, y + height * 0.67, left + 2 * quarter, y),
        ),
        pen=pen,
    )


@lru_cache(maxsize=256)
def utility(inks: Inks = NEW) -> Symbol:
    """Utility source: a circle with one period of a sine, and the heavy stroke of the service point across its line."""
    r = 2.5 * UNIT
    point = r + UNIT
    shapes = (
        circle(0, 0, r, pen=inks.symbol),
        sine(0, 0, 1.2 * r, 1.0 * UNIT, inks.symbol),
        Line(r, 0, point, 0, inks.line),
        Line(point, -UNIT, point, UNIT, HEAVY),
    )
    return Symbol("utility", "Utility source, service point at the heavy stroke", shapes, -r, point + HEAVY.width_mm / 2)


@lru_cache(maxsize=256)
def generator(inks: Inks = NEW) -> Symbol:
    """Rotating machine."""
    r = 2.2 * UNIT
    shapes = (
        circle(0, 0, r, pen=inks.symbol),
        Text(0, 0.2, "G", LETTERING.strong, "middle"),
        sine(0, 1.9, 1.6 * UNIT, 0.5 * UNIT, inks.symbol),
    )
    return Symbol("generator", "Generator", shapes, -r, r)


@lru_cache(maxsize=256)
def power_inlet(inks: Inks = NEW) -> Symbol:
    """Flanged inlet with male contacts: pins that point into the shell from which the cord leaves."""
    r = 2 * UNIT
    pins = [Line(-0.9 * r, y, 0.35 * r, y, inks.symbol) for y in (-0.7 * UNIT, 0.0, 0.7 * UNIT)]
    flange = Line(-0.9 * r, -UNIT, -0.9 * r, UNIT, inks.symbol)
    ends = (Line(-r, 0, -0.9 * r, 0, inks.line), Line(0.35 * r, 0, r, 0, inks.symbol))
    shapes: tuple[Shape, ...] = (circle(0, 0, r, pen=inks.symbol), flange, *pins, *ends)
    return Symbol("power inlet", "Power inlet, male contacts", shapes, -r, r)


@lru_cache(maxsize=256)
def array(inks: Inks = NEW) -> Symbol:
    """Photovoltaic module or array with the arrows of light."""
    half_width, half_height = 2 * UNIT, 1.5 * UNIT
    v = Polyline(((-half_width, -half_height), (0, half_height), (half_width, -half_height)), inks.symbol)
    rays: list[Line | Path] = []
    for x in (-0.2 * UNIT, 1.0 * UNIT):
        tip, tail = (x, -half_height - 0.25 * UNIT), (x + 1.1 * UNIT, -half_height - 1.35 * UNIT)
        rays += [Line(*tail, *tip, inks.symbol), arrowhead(tip, tail, length=1.3, width=1.0, fill=BLACK)]
    box = rectangle(-half_width, -half_height, 2 * half_width, 2 * half_height, pen=inks.symbol)
    return Symbol("array", "Photovoltaic modules", (box, v, *rays), -half_width, half_width)


@lru_cache(maxsize=256)
def battery(inks: Inks = NEW) -> Symbol:
    """Battery: long thin and short thick plates."""
    apart = 0.7 * UNIT
    shapes: list[Line] = []
    for index in range(4):
        x = (index - 1.5) * apart
        tall = index % 2 == 0
        rise = (1.2 if tall else 0.6) * UNIT
        shapes.append(Line(x, -rise, x, rise, inks.symbol if tall else HEAVY))
    return Symbol("battery", "Battery", tuple(shapes), -1.5 * apart, 1.5 * apart)
