"""Marks that refer: circuit tags, steps of the shutdown procedure, callouts, revision deltas, references to other sheets."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from permitgen.documents.canvas.colors import BLACK, SAFETY_RED, WHITE
from permitgen.documents.canvas.figures import circle, polygon
from permitgen.documents.canvas.shapes import Line, Shape, Text
from permitgen.documents.canvas.styles import FINE, THIN, Pen
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.symbols.symbol import Symbol

TAG_HEIGHT_MM = 5.0
STEP_RADIUS_MM = 2.6
CALLOUT_RADIUS_MM = 4.0
DELTA_SIDE_MM = 6.5
FAULT_HEIGHT_MM = 4.6


def tag_width(text: str) -> float:
    """Return how wide the hexagon of a circuit tag is, mm."""
    return text_width(text, LETTERING.text) + 4.4


@lru_cache(maxsize=256)
def circuit_tag(text: str, pen: Pen = THIN) -> Symbol:
    """A hexagon with the tag of a circuit, on the line; the line stops at its points."""
    style = LETTERING.text
    half, rise = tag_width(text) / 2, TAG_HEIGHT_MM / 2
    corners = ((-half, 0), (-half + 1.6, -rise), (half - 1.6, -rise), (half, 0), (half - 1.6, rise), (-half + 1.6, rise))
    return Symbol(
        "circuit tag",
        "Circuit tag, listed on E-603",
        (polygon(corners, pen=pen, fill=WHITE), Text(0, style.cap_height_mm / 2, text, style, "middle")),
        -half,
        half,
    )


@lru_cache(maxsize=256)
def step(number: str, radius_mm: float = STEP_RADIUS_MM) -> Symbol:
    """A black disc with the number of a step of the shutdown procedure."""
    style = LETTERING.strong.colored(WHITE)
    if radius_mm != STEP_RADIUS_MM:
        style = replace(style, size_mm=style.size_mm * radius_mm / STEP_RADIUS_MM)
    shapes = (circle(0, 0, radius_mm, fill=BLACK), Text(0, style.cap_height_mm / 2, number, style, "middle"))
    return Symbol("step", "Step of the shutdown procedure on the placard", shapes, -radius_mm, radius_mm)


@lru_cache(maxsize=256)
def callout(text: str) -> Symbol:
    """A circle with a tag or number."""
    style = LETTERING.text
    r = max(CALLOUT_RADIUS_MM, text_width(text, style) / 2 + 1.0)
    return Symbol(
        "callout",
        "Equipment tag, listed on E-604",
        (circle(0, 0, r, pen=FINE, fill=WHITE), Text(0, style.cap_height_mm / 2, text, style, "middle")),
        -r,
        r,
    )


@lru_cache(maxsize=256)
def delta(number: str) -> Symbol:
    """The triangle of a revision."""
    style, side = LETTERING.text, DELTA_SIDE_MM
    rise = side * 0.866
    corners = ((0, -rise * 2 / 3), (side / 2, rise / 3), (-side / 2, rise / 3))
    return Symbol(
        "delta",
        "Changed in this revision, within the cloud",
        (polygon(corners, pen=THIN, fill=WHITE), Text(0, rise / 3 - 0.9, number, style, "middle")),
        -side / 2,
        side / 2,
    )


def fault_width(numbers: tuple[str, ...]) -> float:
    """Return how wide the octagon of these numbers is, mm."""
    return max(FAULT_HEIGHT_MM, text_width(", ".join(numbers), LETTERING.strong) + 2.4)


@lru_cache(maxsize=256)
def fault(numbers: tuple[str, ...]) -> Symbol:
    """A red octagon, drawn out as wide as its numbers need: nothing else on the sheets has eight corners."""
    style = LETTERING.strong.colored(WHITE)
    half, rise, cut = fault_width(numbers) / 2, FAULT_HEIGHT_MM / 2, FAULT_HEIGHT_MM * 0.293
    right = ((half, -rise + cut), (half, rise - cut), (half - cut, rise))
    left = ((cut - half, rise), (-half, rise - cut), (-half, cut - rise), (cut - half, -rise))
    words = Text(0, style.cap_height_mm / 2, ", ".join(numbers), style, "middle")
    return Symbol(
        "fault",
        "Violated: number of the violation, within the red cloud",
        (polygon(((half - cut, -rise), *right, *left), fill=SAFETY_RED), words),
        -half,
        half,
    )


@lru_cache(maxsize=256)
def detail_mark(number: str, sheet: str) -> Symbol:
    """A circle cut across: number of the detail over the sheet it is on."""
    style, r = LETTERING.text, 6.4
    shapes: tuple[Shape, ...] = (
        circle(0, 0, r, pen=THIN, fill=WHITE),
        Line(-r, 0, r, 0, THIN),
        Text(0, -1.4, number, LETTERING.strong, "middle"),
        Text(0, 1.4 + style.cap_height_mm, sheet, style, "middle"),
    )
    return Symbol("detail", "Detail number over sheet", shapes, -r, r)
