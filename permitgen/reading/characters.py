"""The characters of a text file: decoding, the ones refused, and the cleaning of each scalar."""

from __future__ import annotations

import re
import unicodedata
from codecs import BOM_UTF8
from itertools import islice

from permitgen.reading.positions import Place

# What YAML and XML 1.0 both allow, less what cannot be seen: a hidden character in a tag makes two tags that look the
# same, a hidden direction mark reverses digits on paper. U+200C and U+200D stay: some scripts need them.
_REFUSED = re.compile(
    "[^\t\n\r\x20-\x7e\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]"
    "|[\xad\u061c\u180e\u200b\u200e\u200f\u2028-\u202e\u2060-\u2069\ufeff\ufff9-\ufffb\U000e0000-\U000e007f]"
)
_SPACES = str.maketrans(dict.fromkeys("\t\xa0\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u202f\u205f\u3000", " "))
_LINE_BREAK = re.compile("\r\n|\n|\r")
_MOST_REPORTED = 20

Fault = tuple[Place, str]


class UndecodableError(ValueError):
    """The bytes are not UTF-8 text; ``place`` is that of the first wrong one."""

    def __init__(self, place: Place, message: str) -> None:
        super().__init__(message)
        self.place = place


def decode(content: bytes) -> str:
    """Return the text of a UTF-8 file, a byte order mark at its start removed.

    Raises:
        UndecodableError: another encoding, or not text at all.
    """
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise UndecodableError((1, 1), "the file is saved as UTF-16; save it as UTF-8")
    content = content.removeprefix(BOM_UTF8)
    if b"\0" in content:
        raise UndecodableError((1, 1), "this is not a text file; a text in UTF-8 was expected")
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError as error:
        place = place_of(content[: error.start].decode("utf-8"), error.start)
        message = f"the byte 0x{content[error.start]:02X} is not UTF-8; save the file as UTF-8"
        raise UndecodableError(place, message) from error


def split_lines(text: str) -> list[str]:
    """Return the lines of ``text`` without their ends, split where YAML splits them."""
    return _LINE_BREAK.split(text)


def line_starts(text: str) -> list[int]:
    """Return where the lines of ``split_lines`` begin."""
    return [0, *(found.end() for found in _LINE_BREAK.finditer(text))]


def place_of(text: str, offset: int) -> Place:
    """Return line and column, from 1, of the character at ``offset``."""
    before = split_lines(text[:offset])
    return len(before), len(before[-1]) + 1


def refused_character(text: str) -> str | None:
    """Return why the first character that may not stand in a project is refused, None where all may."""
    found = _REFUSED.search(text)
    return None if found is None else _refusal(found.group())


def character_faults(text: str) -> list[Fault]:
    """Return place and message of refused characters: the first of each line, of at most twenty lines."""
    if _REFUSED.search(text) is None:
        return []
    found = ((number, _REFUSED.search(line)) for number, line in enumerate(split_lines(text), 1))
    faults = (((number, match.start() + 1), _refusal(match.group())) for number, match in found if match is not None)
    return list(islice(faults, _MOST_REPORTED))


def tab_faults(text: str) -> list[Fault]:
    """Return place and message of every line indented with a tab, at most the first twenty."""
    if "\t" not in text:
        return []
    indents = ((number, line[: len(line) - len(line.lstrip(" \t"))]) for number, line in enumerate(split_lines(text), 1) if line.strip())
    places = ((number, indent.index("\t") + 1) for number, indent in indents if "\t" in indent)
    return [(place, "a tab in the indentation; indent with spaces") for place in islice(places, _MOST_REPORTED)]


def cleaned(text: str) -> str:
    """Return ``text`` composed (NFC), every kind of space made a plain one, none at its ends.

    Two spellings of one accented letter, or a non-breaking space pasted from a word processor, would otherwise make two
    tags that look the same.
    """
    if text.isascii():
        return (text.replace("\t", " ") if "\t" in text else text).strip()
    return unicodedata.normalize("NFC", text).translate(_SPACES).strip()


def cleaned_key(text: str) -> str:
    """Return a key cleaned, with one space where several stand."""
    return " ".join(cleaned(text).split())


def _refusal(character: str) -> str:
    name = unicodedata.name(character, "").lower()
    what = f"the invisible character U+{ord(character):04X}"
    return f"{what} ({name}) is not allowed; delete it" if name else f"{what} is not allowed; delete it"
