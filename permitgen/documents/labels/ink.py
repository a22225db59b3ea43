"""How the colours of a label are printed: in full colour, with one ink, or engraved."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from permitgen.documents.canvas.colours import BLACK, SAFETY_COLOURS, SAFETY_RED, WHITE, Colour

Printing = Literal["colour", "one_ink", "engraved"]
_DARK = ("safety_red", "safety_green", "safety_blue", "safety_black")


@dataclass(frozen=True)
class Inks:
    """The colours in use. ``palette`` replaces safety colours by name for a known printer or film.

    With one ink, dark fields and signal panels are printed solid with the letters left open, light fields stay paper.
    Engraved, only letters, symbols and lines are cut; ``ink`` stands for the cut and ``paper`` for the surface.
    """

    printing: Printing = "colour"
    palette: Mapping[str, Colour] = field(default_factory=dict)
    ink: Colour = BLACK
    paper: Colour = WHITE

    def named(self, name: str) -> Colour:
        """Return a safety colour by name, as the palette has it."""
        return self.palette.get(name, SAFETY_COLOURS[name])

    def field(self, background: str, text: str, *, is_signal: bool) -> tuple[Colour | None, Colour]:
        """Return the fill of a field (None: not printed) and the colour of its letters."""
        if self.printing == "colour":
            return self.named(background), self.named(text)
        if self.printing == "one_ink" and (background in _DARK or is_signal):
            return self.ink, self.paper
        return None, self.ink

    @property
    def line(self) -> Colour:
        """The colour of frames and rules."""
        return BLACK if self.printing == "colour" else self.ink

    @property
    def energized(self) -> Colour:
        """The colour of what stays energized in a diagram; its cross-hatching says the same without colour."""
        return self.palette.get("safety_red", SAFETY_RED) if self.printing == "colour" else self.ink


FULL_COLOUR = Inks()
ONE_INK = Inks("one_ink")
ENGRAVED = Inks("engraved")
