"""QR symbols as one filled path, with the quiet zone that readers need (ISO/IEC 18004).

Level Q or H only: outdoors, or where the symbol may be partly covered. Capitals are stored closer than other letters,
so an address whose capitals mean the same is written in capitals and needs fewer modules.

A stain, a scratch or a sticker damages neighboring modules. The level tells how much of a symbol may be lost, but a patch spoils
every codeword it touches, and each block corrects only its own share: how the codewords of a version lie decides. ``sturdy_symbol``
takes a version in which no square patch of 15 percent, wherever it lies beside the finder patterns, spoils more of a block than the
level mends. Finder patterns and the format information in the corners no level protects.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

import qrcode
from qrcode.constants import ERROR_CORRECT_H, ERROR_CORRECT_Q
from qrcode.exceptions import DataOverflowError

from permitgen.documents.canvas.colors import BLACK, WHITE, Color
from permitgen.documents.canvas.figures import rectangle
from permitgen.documents.canvas.shapes import Close, Group, Move, Path, Segment, Shape, Straight, moved, scaled

Level = Literal["Q", "H"]
QUIET_ZONE_MODULES = 4
LEAST_MODULE_MM = 0.5
"""Below this a phone held near does not resolve a printed symbol reliably (common practice, no published source)."""

STURDY_VERSIONS = (7, 8, 9, 10, 11, 12, 16, 17, 19, 22, 23)
"""At level H these versions outlast a square patch of 15 percent (codeword placement and blocks of ISO/IEC 18004; a test counts it)."""

_ALPHANUMERIC = frozenset("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:")
_MODULES_OF_VERSION_1, _MODULES_PER_VERSION = 21, 4


@dataclass(frozen=True, slots=True)
class QrSymbol:
    """A symbol: its text as stored, level, version, and the dark modules by row."""

    text: str
    level: Level
    version: int
    matrix: tuple[tuple[bool, ...], ...]

    @property
    def modules(self) -> int:
        """Modules along one side, without the quiet zone."""
        return len(self.matrix)

    def width_mm(self, module_mm: float) -> float:
        """Width in mm with the quiet zone on both sides."""
        return (self.modules + 2 * QUIET_ZONE_MODULES) * module_mm


def in_capitals(address: str) -> str:
    """Return an address in capitals where that leaves its meaning: scheme and host always, a path when it has no small letters.

    The host of an address is read without regard to case (RFC 3986, 3.2.2); a path is not.
    """
    scheme, separator, rest = address.partition("://")
    if not separator:
        return address
    host, slash, path = rest.partition("/")
    capitals = f"{scheme.upper()}://{host.upper()}{slash}{path}"
    return capitals if set(capitals) <= _ALPHANUMERIC else address


@lru_cache(maxsize=256)
def qr_symbol(text: str, level: Level = "Q") -> QrSymbol:
    """Return the smallest symbol that holds ``text`` at an error correction level.

    Raises ValueError for an empty text, or for one that no symbol can hold.
    """
    if not text:
        raise ValueError("a QR symbol needs a text")
    return _made(text, level, None)


@lru_cache(maxsize=256)
def sturdy_symbol(text: str, least_version: int = 1) -> QrSymbol:
    """Return the smallest symbol of level H that is still read with any 15 percent patch beside its finder patterns covered.

    Raises ValueError for an empty text, or for one that no such symbol can hold.
    """
    least = max(least_version, qr_symbol(text, "H").version)
    chosen = next((version for version in STURDY_VERSIONS if version >= least), None)
    if chosen is None:
        raise ValueError(f"a text of {len(text)} characters is too long for a QR symbol that withstands wear")
    return _made(text, "H", chosen)


def _made(text: str, level: Level, version: int | None) -> QrSymbol:
    """Return the symbol of a version, None for the smallest that holds the text."""
    stored = in_capitals(text)
    code = qrcode.QRCode(version=version, border=0, error_correction=ERROR_CORRECT_H if level == "H" else ERROR_CORRECT_Q)
    code.add_data(stored, optimize=0)
    try:
        code.make(fit=version is None)
    except (DataOverflowError, ValueError) as too_long:
        raise ValueError(f"a text of {len(text)} characters is too long for a QR symbol of level {level}") from too_long
    matrix = tuple(tuple(bool(module) for module in line) for line in code.get_matrix())
    return QrSymbol(stored, level, (len(matrix) - _MODULES_OF_VERSION_1) // _MODULES_PER_VERSION + 1, matrix)


def _runs(line: tuple[bool, ...]) -> list[tuple[int, int]]:
    """First and one past the last module of each dark stretch in a row."""
    edges = [index for index, (one, other) in enumerate(zip((False, *line), (*line, False), strict=True)) if one != other]
    return list(zip(edges[::2], edges[1::2], strict=True))


@lru_cache(maxsize=64)
def _dark_path(symbol: QrSymbol, ink: Color) -> Path:
    """Return all dark modules as one path, a module as unit: separate rectangles would show hairlines between them in some viewers."""
    segments: list[Segment] = []
    for top, line in enumerate(symbol.matrix, start=QUIET_ZONE_MODULES):
        for first, end in _runs(line):
            left, right = QUIET_ZONE_MODULES + first, QUIET_ZONE_MODULES + end
            segments += [Move(left, top), Straight(right, top), Straight(right, top + 1), Straight(left, top + 1), Close()]
    return Path(tuple(segments), fill=ink)


def qr_shape(symbol: QrSymbol, x: float, y: float, module_mm: float, *, ink: Color = BLACK, paper: Color | None = WHITE) -> Group:
    """Return a symbol with its quiet zone, the quiet zone's top left corner at (x, y); ``paper`` None: no white patch.

    Raises ValueError for modules too small to read, or ink that is not clearly darker than the paper.
    """
    if module_mm < LEAST_MODULE_MM:
        raise ValueError(f"QR modules of {module_mm:.2f} mm are too small to read; use {LEAST_MODULE_MM} mm or more")
    if ink.luminance > 0.1:
        raise ValueError(f"QR symbols need dark ink on light ground; {ink.name} is too light")
    side = symbol.width_mm(module_mm)
    ground: tuple[Shape, ...] = (rectangle(0, 0, side, side, fill=paper),) if paper else ()
    # In whole modules, and enlarged: a drawing spells whole numbers in two thirds of the bytes.
    dark = Group((_dark_path(symbol, ink),), transform=scaled(module_mm))
    return Group((*ground, dark), transform=moved(x, y))
