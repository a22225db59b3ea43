"""A face cut down to the characters in use, for embedding in an SVG drawing. Glyph numbers stay as they are.

Layout of the tables: ISO/IEC 14496-22 (Open Font Format). The same characters give the same bytes.
"""

from __future__ import annotations

import struct
from collections.abc import Iterable

from permitgen.documents.fonts.faces import Face
from permitgen.documents.fonts.truetype import TrueTypeFile

_COPIED = ("OS/2", "cvt ", "fpgm", "hhea", "hmtx", "maxp", "name", "prep")


def subset_bytes(face: Face, text: Iterable[str]) -> bytes:
    """Return a TrueType file that holds the glyphs of the characters in ``text`` and no others."""
    font = face.font
    codes = sorted({ord(character) for character in text} & font.characters.keys())
    glyphs = _with_components(font, {0, *(font.characters[code] for code in codes)})
    outlines, offsets = _outlines(font, glyphs)
    tables = {tag: font.table(tag) for tag in _COPIED if tag in font.tables}
    tables["cmap"] = _character_map([(code, font.characters[code]) for code in codes])
    tables["glyf"] = outlines
    tables["loca"] = struct.pack(f">{len(offsets)}L", *offsets)
    head = bytearray(font.table("head"))
    struct.pack_into(">L", head, 8, 0)  # the checksum adjustment is computed over the finished file
    struct.pack_into(">h", head, 50, 1)  # long offsets in loca
    tables["head"] = bytes(head)
    tables["post"] = struct.pack(">LlhhLLLLL", 0x00030000, 0, -100, 50, 0, 0, 0, 0, 0)
    return _assembled(tables)


def _with_components(font: TrueTypeFile, glyphs: set[int]) -> set[int]:
    found, waiting = set(glyphs), list(glyphs)
    while waiting:
        for part in font.components(waiting.pop()):
            if part not in found:
                found.add(part)
                waiting.append(part)
    return found


def _outlines(font: TrueTypeFile, glyphs: set[int]) -> tuple[bytes, list[int]]:
    """Return a ``glyf`` table with empty records for all other glyphs, and where each record begins."""
    records, offsets = bytearray(), [0]
    for glyph in range(font.glyph_count):
        if glyph in glyphs:
            records += font.glyph_bytes(glyph)
            records += b"\0" * (-len(records) % 4)
        offsets.append(len(records))
    return bytes(records), offsets


def _character_map(pairs: list[tuple[int, int]]) -> bytes:
    """Return a ``cmap`` table of format 4 with one segment a character."""
    segments = [(code, code, (glyph - code) & 0xFFFF) for code, glyph in pairs] + [(0xFFFF, 0xFFFF, 1)]
    count = len(segments)
    power = 1 << (count.bit_length() - 1)
    header = struct.pack(">7H", 4, 16 + 8 * count, 0, 2 * count, 2 * power, power.bit_length() - 1, 2 * (count - power))
    ends = struct.pack(f">{count}H", *(end for _, end, _ in segments))
    starts = struct.pack(f">{count}H", *(start for start, _, _ in segments))
    shifts = struct.pack(f">{count}H", *(shift for _, _, shift in segments))
    subtable = header + ends + b"\0\0" + starts + shifts + b"\0\0" * count
    return struct.pack(">HHHHL", 0, 1, 3, 1, 12) + subtable


def _assembled(tables: dict[str, bytes]) -> bytes:
    count = len(tables)
    power = 1 << (count.bit_length() - 1)
    header = struct.pack(">LHHHH", 0x00010000, count, 16 * power, power.bit_length() - 1, 16 * (count - power))
    directory, body = bytearray(), bytearray()
    start = len(header) + 16 * count
    head_at = 0
    for tag in sorted(tables):
        data = tables[tag]
        if tag == "head":
            head_at = start + len(body)
        directory += struct.pack(">4sLLL", tag.encode("ascii"), _checksum(data), start + len(body), len(data))
        body += data + b"\0" * (-len(data) % 4)
    whole = bytearray(header + directory + body)
    struct.pack_into(">L", whole, head_at + 8, (0xB1B0AFBA - _checksum(bytes(whole))) & 0xFFFFFFFF)
    return bytes(whole)


def _checksum(data: bytes) -> int:
    padded = data + b"\0" * (-len(data) % 4)
    words: tuple[int, ...] = struct.unpack(f">{len(padded) // 4}L", padded)
    return sum(words) & 0xFFFFFFFF
