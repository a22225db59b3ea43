"""How the colors of a label are printed: in full color, with one ink, or engraved."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from permitgen.documents.canvas.colors import BLACK, SAFETY_COLORS, SAFETY_RED, WHITE, Color

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
