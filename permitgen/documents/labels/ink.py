"""How the colors of a label are printed: in full color, with one ink, or engraved."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from permitgen.documents.canvas.colors import BLACK, SAFETY_COLORS, SAFETY_RED, WHITE, Color

if TYPE_CHECKING:
    from permitgen.views.label import LabelView

Printing = Literal["color", "one_ink", "engraved"]
_DARK = ("safety_red", "safety_green", "safety_blue", "safety_black")


@dataclass(frozen=True)
class Inks:
    """The colors in use. ``palette`` replaces safety colors by name for a known printer or film.

    With one ink, dark fields and signal panels are printed solid with the letters left open, light fields stay paper.
    Engraved, only letters, symbols and lines are cut; ``ink`` stands for the cut and ``paper`` for the surface.
    """

    printing: Printing = "color"
    palette: Mapping[str, Color] = field(default_factory=dict)
    ink: Color = BLACK
    paper: Color = WHITE

    def named(self, name: str) -> Color:
        """Return a safety color by name, as the palette has it."""
        return self.palette.get(name, SAFETY_COLORS[name])

    def field(self, background: str, text: str, *, is_signal: bool) -> tuple[Color | None, Color]:
        """Return the fill of a field (None: not printed) and the color of its letters."""
        if self.printing == "color":
            return self.named(background), self.named(text)
        if self.printing == "one_ink" and (background in _DARK or is_signal):
            return self.ink, self.paper
        return None, self.ink

    @property
    def line(self) -> Color:
        """The color of frames and rules."""
        return BLACK if self.printing == "color" else self.ink

    @property
    def energized(self) -> Color:
        """The color of what stays energized in a diagram; its cross-hatching says the same without color."""
        return self.palette.get("safety_red", SAFETY_RED) if self.printing == "color" else self.ink


FULL_COLOR = Inks()
ONE_INK = Inks("one_ink")
ENGRAVED = Inks("engraved")


def is_white_on_red(view: LabelView) -> bool:
    """Whether a label has white letters on red, which one ink on white stock cannot print."""
    return any(panel.background == "safety_red" and panel.text_color == "safety_white" for panel in view.panels)


def red_stock(view: LabelView) -> str:
    """Return the stock that white letters on red need on a printer of one color."""
    return f"white ink on {'red reflective film' if view.reflective else 'red film'}"


def red_stock_note(view: LabelView, width_mm: float, height_mm: float) -> str:
    """Say which stock a label with white letters on red needs on a printer of one color."""
    label = f"{view.id} at {view.tag}" if view.tag else view.id
    return f"label {label}: white on red; print it with {red_stock(view)}, at least {width_mm:.0f} by {height_mm:.0f} mm"
