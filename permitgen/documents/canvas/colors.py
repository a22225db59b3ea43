"""Colors by name, among them the safety colors of ANSI Z535.1, and how well one reads on another.

Source of the safety colors: Munsell notations of ANSI Z535.1 (from memory); the screen values and the CMYK starting
points are common practice, no published source. Contrast: WCAG 2.2, relative luminance.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Color:
    """A color by its sRGB components, 0 to 255 each, and the process inks to start a proof from, percent each."""

    name: str
    red: int
    green: int
    blue: int
    cmyk: tuple[int, int, int, int]

    def __repr__(self) -> str:
        return f"Color({self.name})"

    @property
    def hex(self) -> str:
        """The color as ``#RRGGBB``."""
        return f"#{self.red:02X}{self.green:02X}{self.blue:02X}"

    @property
    def is_gray(self) -> bool:
        """Whether the color needs black ink only."""
        return self.red == self.green == self.blue

    @property
    def luminance(self) -> float:
        """Relative luminance, 0 for black to 1 for white (WCAG 2.2)."""
        red, green, blue = (_linear(component / 255) for component in (self.red, self.green, self.blue))
        return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _linear(component: float) -> float:
    return component / 12.92 if component <= 0.04045 else ((component + 0.055) / 1.055) ** 2.4


def contrast(one: Color, other: Color) -> float:
    """Return the contrast ratio of two colors, 1 to 21 (WCAG 2.2)."""
    light, dark = sorted((one.luminance, other.luminance), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def gray(name: str, level: int) -> Color:
    """Return a gray by its sRGB level, 0 black to 255 white, printed with black ink only."""
    return Color(name, level, level, level, (0, 0, 0, round(100 - level / 2.55)))


BLACK = gray("black", 0)
INK = gray("ink", 0x1A)
DARK_GRAY = gray("dark gray", 0x4D)
MID_GRAY = gray("mid gray", 0x80)
LIGHT_GRAY = gray("light gray", 0xC8)
PALE_GRAY = gray("pale gray", 0xF2)
PALE_RED = Color("pale_red", 0xFD, 0xEB, 0xEC, (0, 8, 5, 0))
WHITE = gray("white", 255)

SAFETY_RED = Color("safety_red", 0xC8, 0x10, 0x2E, (0, 100, 85, 10))
SAFETY_ORANGE = Color("safety_orange", 0xFF, 0x82, 0x00, (0, 60, 100, 0))
SAFETY_YELLOW = Color("safety_yellow", 0xFF, 0xD1, 0x00, (0, 15, 100, 0))
SAFETY_GREEN = Color("safety_green", 0x00, 0x7B, 0x5F, (100, 0, 70, 30))
SAFETY_BLUE = Color("safety_blue", 0x00, 0x59, 0x98, (100, 60, 0, 10))
SAFETY_WHITE = Color("safety_white", 0xFF, 0xFF, 0xFF, (0, 0, 0, 0))
SAFETY_BLACK = Color("safety_black", 0x00, 0x00, 0x00, (0, 0, 0, 100))

SAFETY_COLORS: dict[str, Color] = {
    color.name: color for color in (SAFETY_RED, SAFETY_ORANGE, SAFETY_YELLOW, SAFETY_GREEN, SAFETY_BLUE, SAFETY_WHITE, SAFETY_BLACK)
}
