"""Reads what setting text needs from a TrueType file: which characters it has, how wide they are, their outlines.

Only the tables with quadratic outlines (``glyf``) are read, as ISO/IEC 14496-22 (Open Font Format) lays them out.
All numbers are in font units, y upward, ``units_per_em`` to the em.
"""

from __future__ import annotations

import struct
from dataclasses import dataclass
from functools import cached_property

Point = tuple[float, float, bool]
"""x, y and whether the point lies on the curve."""
Contour = tuple[Point, ...]

_ARGS_ARE_WORDS, _ARGS_ARE_XY, _ONE_SCALE, _MORE, _TWO_SCALES, _FOUR_SCALES = 0x1, 0x2, 0x8, 0x20, 0x40, 0x80
_ON_CURVE, _X_SHORT, _Y_SHORT, _REPEAT, _X_SAME, _Y_SAME = 1, 2, 4, 8, 16, 32


class FontFileError(ValueError):
    """The file is not a TrueType file with ``glyf`` outlines and a Unicode character map."""


@dataclass(frozen=True)
class TrueTypeFile:
    """The bytes of one font file. Tables are decoded when first asked for."""

    data: bytes

    @cached_property
    def tables(self) -> dict[str, tuple[int, int]]:
        """Offset and length of each table by its tag."""
        if self.data[:4] not in (b"\0\1\0\0", b"true"):
            raise FontFileError("not a TrueType file with glyf outlines")
        count = struct.unpack_from(">H", self.data, 4)[0]
        entries = (struct.unpack_from(">4sLLL", self.data, 12 + 16 * index) for index in range(count))
        return {tag.decode("ascii"): (offset, length) for tag, _checksum, offset, length in entries}

    def table(self, tag: str) -> bytes:
        """Return the bytes of one table; raises FontFileError when the file lacks it."""
        if tag not in self.tables:
            raise FontFileError(f"the font file has no table {tag!r}")
        offset, length = self.tables[tag]
        return self.data[offset : offset + length]

    @cached_property
    def units_per_em(self) -> int:
        """Font units to the em."""
        return int(struct.unpack_from(">H", self.table("head"), 18)[0])

    @cached_property
    def ascent_descent(self) -> tuple[int, int]:
        """Ascent and descent of the line in font units; the descent is negative."""
        ascent, descent = struct.unpack_from(">hh", self.table("hhea"), 4)
        return int(ascent), int(descent)

    @cached_property
    def glyph_count(self) -> int:
        """Number of glyphs in the file."""
        return int(struct.unpack_from(">H", self.table("maxp"), 4)[0])

    @cached_property
    def characters(self) -> dict[int, int]:
        """Glyph number by Unicode code point, from the format 4 character map."""
        table = self.table("cmap")
        for index in range(struct.unpack_from(">H", table, 2)[0]):
            platform, encoding, offset = struct.unpack_from(">HHL", table, 4 + 8 * index)
            if (platform, encoding) in ((3, 1), (0, 3)) and struct.unpack_from(">H", table, offset)[0] == 4:
                return _segment_map(table[offset:])
        raise FontFileError("the font file has no Unicode character map of format 4")

    @cached_property
    def advances(self) -> tuple[int, ...]:
        """Advance width of each glyph in font units."""
        metrics = int(struct.unpack_from(">H", self.table("hhea"), 34)[0])
        pairs = struct.unpack_from(f">{2 * metrics}H", self.table("hmtx"))
        widths: tuple[int, ...] = pairs[::2]
        return widths + (widths[-1],) * (self.glyph_count - metrics)

    @cached_property
    def glyph_offsets(self) -> tuple[int, ...]:
        """Where each glyph begins in the ``glyf`` table; one more entry than there are glyphs."""
        is_long = struct.unpack_from(">h", self.table("head"), 50)[0]
        entries: tuple[int, ...] = struct.unpack_from(f">{self.glyph_count + 1}{'L' if is_long else 'H'}", self.table("loca"))
        return entries if is_long else tuple(2 * half for half in entries)

    def glyph_bytes(self, glyph: int) -> bytes:
        """Return the record of a glyph in ``glyf``; empty for a glyph without ink."""
        begin, end = self.glyph_offsets[glyph], self.glyph_offsets[glyph + 1]
        offset = self.tables["glyf"][0]
        return self.data[offset + begin : offset + end]

    def bounds(self, glyph: int) -> tuple[int, int, int, int] | None:
        """Return left, bottom, right, top of the ink in font units, or None when the glyph has none."""
        record = self.glyph_bytes(glyph)
        return struct.unpack_from(">4h", record, 2) if record else None

    def components(self, glyph: int) -> tuple[int, ...]:
        """Return the glyphs that a composite glyph is put together from, none for a simple one."""
        return tuple(part for part, _transform in self._placed_components(self.glyph_bytes(glyph)))

    def contours(self, glyph: int) -> tuple[Contour, ...]:
        """Return the closed contours of a glyph in font units."""
        record = self.glyph_bytes(glyph)
        if not record:
            return ()
        if struct.unpack_from(">h", record)[0] >= 0:
            return _simple_contours(record)
        return tuple(
            tuple((a * x + c * y + e, b * x + d * y + f, on) for x, y, on in contour)
            for part, (a, b, c, d, e, f) in self._placed_components(record)
            for contour in self.contours(part)
        )

    @staticmethod
    def _placed_components(record: bytes) -> list[tuple[int, tuple[float, float, float, float, float, float]]]:
        if not record or struct.unpack_from(">h", record)[0] >= 0:
            return []
        placed: list[tuple[int, tuple[float, float, float, float, float, float]]] = []
        position, flags = 10, _MORE
        while flags & _MORE:
            flags, part = struct.unpack_from(">HH", record, position)
            position += 4
            if not flags & _ARGS_ARE_XY:
                raise FontFileError("a composite glyph placed by matching points is not supported")
            dx, dy = struct.unpack_from(">hh" if flags & _ARGS_ARE_WORDS else ">bb", record, position)
            position += 4 if flags & _ARGS_ARE_WORDS else 2
            matrix, length = _component_scale(record, position, flags)
            position += length
            placed.append((part, (*matrix, float(dx), float(dy))))
        return placed


def _component_scale(record: bytes, position: int, flags: int) -> tuple[tuple[float, float, float, float], int]:
    """Return the 2 x 2 part of a component's transform and the number of bytes it takes."""
    if flags & _ONE_SCALE:
        scale = struct.unpack_from(">h", record, position)[0] / 16384
        return (scale, 0.0, 0.0, scale), 2
    if flags & _TWO_SCALES:
        across, up = (value / 16384 for value in struct.unpack_from(">hh", record, position))
        return (across, 0.0, 0.0, up), 4
    if flags & _FOUR_SCALES:
        a, b, c, d = (value / 16384 for value in struct.unpack_from(">4h", record, position))
        return (a, b, c, d), 8
    return (1.0, 0.0, 0.0, 1.0), 0


def _segment_map(table: bytes) -> dict[int, int]:
    """Decode a format 4 subtable: runs of code points with a shift or an index list each."""
    doubled = struct.unpack_from(">H", table, 6)[0]
    count = doubled // 2
    ends = struct.unpack_from(f">{count}H", table, 14)
    starts = struct.unpack_from(f">{count}H", table, 16 + doubled)
    shifts = struct.unpack_from(f">{count}H", table, 16 + 2 * doubled)
    ranges_at = 16 + 3 * doubled
    ranges = struct.unpack_from(f">{count}H", table, ranges_at)
    glyphs: dict[int, int] = {}
    for index, (start, end, shift, offset) in enumerate(zip(starts, ends, shifts, ranges, strict=True)):
        for code in range(start, min(end, 0xFFFE) + 1):
            glyph = code
            if offset:
                glyph = struct.unpack_from(">H", table, ranges_at + 2 * index + offset + 2 * (code - start))[0]
                if glyph == 0:
                    continue
            glyphs[code] = (glyph + shift) & 0xFFFF
    return {code: glyph for code, glyph in glyphs.items() if glyph}


def _simple_contours(record: bytes) -> tuple[Contour, ...]:
    contour_count = struct.unpack_from(">h", record)[0]
    if contour_count == 0:
        return ()
    last_points = struct.unpack_from(f">{contour_count}H", record, 10)
    position = 10 + 2 * contour_count
    position += 2 + struct.unpack_from(">H", record, position)[0]  # the hinting instructions are skipped
    flags: list[int] = []
    while len(flags) <= last_points[-1]:
        flag = record[position]
        position += 1
        repeats = 1
        if flag & _REPEAT:
            repeats += record[position]
            position += 1
        flags.extend([flag] * repeats)
    xs, position = _coordinates(record, position, flags, _X_SHORT, _X_SAME)
    ys, position = _coordinates(record, position, flags, _Y_SHORT, _Y_SAME)
    points = [(float(x), float(y), bool(flag & _ON_CURVE)) for x, y, flag in zip(xs, ys, flags, strict=True)]
    firsts = (0, *(last + 1 for last in last_points[:-1]))
    return tuple(tuple(points[first : last + 1]) for first, last in zip(firsts, last_points, strict=True))


def _coordinates(record: bytes, position: int, flags: list[int], short: int, same: int) -> tuple[list[int], int]:
    """Decode one axis: each flag says whether the step is a byte with a sign, a word, or nothing."""
    values: list[int] = []
    value = 0
    for flag in flags:
        if flag & short:
            value += record[position] if flag & same else -record[position]
            position += 1
        elif not flag & same:
            value += struct.unpack_from(">h", record, position)[0]
            position += 2
        values.append(value)
    return values, position
