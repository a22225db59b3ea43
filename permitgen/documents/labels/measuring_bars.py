"""Bars that show whether a print has its true size, and the correction for a printer that is a little off.

Accept 100 mm within 1 mm and 4 in within 1/32 in (common practice, no published source).
"""

from __future__ import annotations

from dataclasses import dataclass

from permitgen.documents.canvas.colors import BLACK, DARK_GRAY
from permitgen.documents.canvas.shapes import Group, Line, Shape, Text, Transform, moved, rotated
from permitgen.documents.canvas.styles import MM_PER_INCH, Pen, points
from permitgen.documents.fonts.faces import SANS, SANS_SEMIBOLD

BAR_HEIGHT_MM = 8.4
_PEN, _THIN = Pen(0.3), Pen(0.15)
_WORDS = points(SANS, 7, BLACK)
_LEAST_FACTOR, _MOST_FACTOR = 0.95, 1.05


@dataclass(frozen=True, slots=True)
class PrinterCorrection:
    """Factors by which everything is drawn larger or smaller, across and along the feed.

    If the 100 mm bar measures 99.2 mm across, ``across`` is 100 / 99.2. Raises ValueError for a factor that no printer
    in order needs: then "fit to page" is switched on.
    """

    across: float = 1.0
    along: float = 1.0

    def __post_init__(self) -> None:
        for factor in (self.across, self.along):
            if not _LEAST_FACTOR <= factor <= _MOST_FACTOR:
                raise ValueError(
                    f"a printer correction of {factor:.3f} is not between {_LEAST_FACTOR} and {_MOST_FACTOR};"
                    " print at 100 % (actual size) and measure the bars again"
                )

    def about(self, x: float, y: float) -> Transform:
        """Return the scaling about a point of the page."""
        return Transform(self.across, 0, 0, self.along, x - self.across * x, y - self.along * y)


NO_CORRECTION = PrinterCorrection()


def millimeter_bar(x: float, y: float) -> Group:
    """Return the bar of 100 mm with a tick every 10 mm, its left end at (x, y), ticks upward, words below."""
    return _bar(x, y, 100.0, 10.0, 5, "must measure 100 mm, 1 mm more or less at most")


def inch_bar(x: float, y: float) -> Group:
    """Return the bar of 4 in with a tick every quarter inch."""
    return _bar(x, y, 4 * MM_PER_INCH, MM_PER_INCH / 4, 4, "must measure 4 in, 1/32 in more or less at most")


def small_bar(side_mm: float) -> tuple[Group, float, str]:
    """Return the longest bar of whole inches, or of whole centimeters below one inch, for a side of a small stock, its length and words."""
    inches = int((side_mm - 2 * _BESIDE_BAR_MM) // MM_PER_INCH)
    if inches:
        length, words = min(inches, 4) * MM_PER_INCH, f"{min(inches, 4)} in"
        return _bar(0, 0, length, MM_PER_INCH / 4, 4, words), length, words
    centimeters = max(1, int((side_mm - 2 * _BESIDE_BAR_MM) // 10))
    return _bar(0, 0, centimeters * 10.0, 5.0, 2, f"{centimeters * 10} mm"), centimeters * 10.0, f"{centimeters * 10} mm"


_BESIDE_BAR_MM = 1.0


def upright(bar: Group, x: float, y: float) -> Group:
    """Return a bar turned to run upward from (x, y), to measure along the other direction of the paper."""
    return Group((bar,), transform=moved(x, y).after(rotated(90)))


def _bar(x: float, y: float, length: float, step: float, long_every: int, words: str) -> Group:
    shapes: list[Shape] = [Line(0, 0, length, 0, _PEN)]
    for number in range(round(length / step) + 1):
        is_end = number in (0, round(length / step))
        tick = 3.4 if is_end else 2.4 if number % long_every == 0 else 1.5
        shapes.append(Line(number * step, 0, number * step, -tick, _PEN if is_end else _THIN))
    shapes.append(Text(length / 2, 3.4, words, _WORDS, anchor="middle"))
    return Group(tuple(shapes), transform=moved(x, y))


def print_notice(x: float, y: float, words: str) -> tuple[Shape, ...]:
    """Return the line that tells how to print, its baseline at (x, y)."""
    return (
        Text(x, y, "Print at 100 % (actual size), not fitted to the page.", points(SANS_SEMIBOLD, 8, BLACK)),
        Text(x, y + 3.6, words, points(SANS, 7, DARK_GRAY)),
    )
