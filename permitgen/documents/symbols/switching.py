"""Breakers, fuses, switches, contacts, transfer switches. All lie in a horizontal line; switches are drawn open."""

from __future__ import annotations

from functools import lru_cache

from permitgen.documents.canvas.figures import arc, circle, rectangle
from permitgen.documents.canvas.shapes import Line, Shape
from permitgen.documents.symbols.symbol import NEW, UNIT, Inks, Symbol


@lru_cache(maxsize=256)
def breaker(inks: Inks = NEW) -> Symbol:
    """Low-voltage circuit breaker: a gap spanned by a half circle."""
    r = 1.5 * UNIT
    return Symbol("breaker", "Circuit breaker", (arc(0, 0, r, start_deg=0, end_deg=180, pen=inks.symbol),), -r, r)


@lru_cache(maxsize=256)
def fuse(inks: Inks = NEW) -> Symbol:
    """A rectangle with the conductor running through."""
    half, rise = 1.3 * UNIT, 0.5 * UNIT
    shapes = (rectangle(-half, -rise, 2 * half, 2 * rise, pen=inks.symbol), Line(-half, 0, half, 0, inks.symbol))
    return Symbol("fuse", "Fuse", shapes, -half, half)


@lru_cache(maxsize=256)
def switch(inks: Inks = NEW) -> Symbol:
    """Unfused switch: hinge at the left, blade up, fixed contact at the right."""
    r = 0.25 * UNIT
    hinge, contact = -1.5 * UNIT, 1.5 * UNIT
    blade = Line(hinge + r, -r / 2, 1.2 * UNIT, -1.3 * UNIT, inks.line)
    return Symbol(
        "switch",
        "Disconnect switch",
        (circle(hinge, 0, r, pen=inks.symbol), blade, circle(contact, 0, r, pen=inks.symbol)),
        hinge - r,
        contact + r,
    )


@lru_cache(maxsize=256)
def contact(inks: Inks = NEW) -> Symbol:
    """Main contact of a contactor or relay: two strokes across the line."""
    apart, rise = 0.4 * UNIT, 0.9 * UNIT
    strokes: tuple[Shape, ...] = tuple(Line(x, -rise, x, rise, inks.line) for x in (-apart, apart))
    return Symbol("contact", "Contact of a contactor or relay", strokes, -apart, apart)


@lru_cache(maxsize=256)
def transfer(drop: float, *, common_at_left: bool = False, inks: Inks = NEW) -> Symbol:
    """Transfer switch: one common terminal, a contact in the same line where the blade lies, and one ``drop`` mm below the line.

    The common terminal is at the right unless ``common_at_left``; the lower contact is then at the other side.
    """
    r, reach = 0.25 * UNIT, 2 * UNIT
    side = -1 if common_at_left else 1
    common, normal, other = (side * reach, 0.0), (-side * reach, 0.0), (-side * 0.5 * UNIT, min(drop, 1.6 * UNIT))
    dots = tuple(circle(x, y, r, pen=inks.symbol) for x, y in (common, normal, other))
    blade = Line(common[0] - side * r, -r, normal[0] + side * 0.2, -0.9 * r, inks.line)
    return Symbol("transfer switch", "Transfer switch", (*dots, blade), -reach - r, reach + r)
