"""What a DOCX template may hold: parts of a usual size, and nothing that fetches, runs or embeds another file when it is opened."""

from __future__ import annotations

import io
import re
import zipfile
import zlib
from urllib.parse import urlsplit
from xml.parsers.expat import ExpatError, ParserCreate

from permitgen.reading.problems import quoted

NOT_A_DOCX = "it cannot be read as a DOCX file; save it again from the word processor"
_MOST_PARTS = 500
_LARGEST_PART = 5_000_000
_LARGEST_TOGETHER = 20_000_000
# The library searches a part once more for every brace that opens; the largest template of the program has 391.
_MOST_BRACES = 2000
# The last step of a relationship's type. Pictures and the like may be parts of the file, not addresses outside of it.
_REFUSED_KINDS = {
    "vbaProject": "a macro",
    "oleObject": "an embedded object",
    "package": "an embedded file",
    "control": "a control",
    "aFChunk": "an embedded document",
    "subDocument": "a linked document",
    "attachedTemplate": "a template of its own",
    "frame": "a frame",
}
_LINK_SCHEMES = {"http", "https", "mailto"}
_FETCHING_FIELD = re.compile(r"\b(?:INCLUDEPICTURE|INCLUDETEXT|INCLUDE|IMPORT|DDE|DDEAUTO|LINK|DATABASE|MACROBUTTON|RD)\b")
_TEXT_PART = re.compile(r"word/[a-z]+[0-9]*\.xml")


class UnsafeDocxError(ValueError):
    """A DOCX file that is not used; the message says why, worded to follow its name."""


def checked_docx(content: bytes) -> bytes:
    """Return ``content`` where it is a DOCX file that may serve as a template.

    Raises:
        UnsafeDocxError: no archive, parts larger than those of a document, or a part that would fetch, run or embed something.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            _check_sizes(archive.infolist())
            for name in archive.namelist():
                if name.endswith((".xml", ".rels")):
                    _check_part(name, archive.read(name))
    except (zipfile.BadZipFile, zlib.error, EOFError, RuntimeError, ExpatError, OSError, ValueError) as error:
        # RuntimeError: an encrypted part, or a way of packing that the library lacks.
        if isinstance(error, UnsafeDocxError):
            raise
        raise UnsafeDocxError(NOT_A_DOCX) from error
    return content


def _check_sizes(parts: list[zipfile.ZipInfo]) -> None:
    # The library reads no more of a part than the size it declares.
    if len(parts) > _MOST_PARTS:
        raise UnsafeDocxError(f"it has more than {_MOST_PARTS} parts")
    for part in parts:
        if part.file_size > _LARGEST_PART:
            raise UnsafeDocxError(f"its part {quoted(part.filename)} is larger than {_LARGEST_PART // 1_000_000} MB when unpacked")
    if sum(part.file_size for part in parts) > _LARGEST_TOGETHER:
        raise UnsafeDocxError(f"it is larger than {_LARGEST_TOGETHER // 1_000_000} MB when unpacked")


def _check_part(name: str, content: bytes) -> None:
    part = _Part(content)
    for attributes in part.relationships:
        _check_relationship(attributes)
    if _TEXT_PART.fullmatch(name):
        _check_field("".join(part.fields))


def _check_relationship(attributes: dict[str, str]) -> None:
    kind, target = attributes.get("Type", "").rsplit("/", 1)[-1], attributes.get("Target", "")
    if kind in _REFUSED_KINDS:
        raise UnsafeDocxError(f"it holds {_REFUSED_KINDS[kind]} ({quoted(target)}); take it out")
    if attributes.get("TargetMode", "Internal") == "Internal":
        return
    if kind != "hyperlink":
        raise UnsafeDocxError(f"it fetches {quoted(target)} when it is opened; put the {kind} itself into the file")
    if urlsplit(target).scheme.lower() not in _LINK_SCHEMES:
        raise UnsafeDocxError(f"it links to {quoted(target)}; a link leads to an address that begins with http, https or mailto")


def _check_field(instruction: str) -> None:
    found = _FETCHING_FIELD.search(instruction.upper())
    if found is not None:
        raise UnsafeDocxError(f"its field {found.group()} fetches or runs something when it is opened; take it out")


class _Part:
    """One XML part as it is read: relationships, simple fields, and the instructions of all other fields as one text.

    One text, because a word processor puts the runs of a field together.
    """

    def __init__(self, content: bytes) -> None:
        self.relationships: list[dict[str, str]] = []
        self.fields: list[str] = []
        self._inside = False
        self._braces = 0
        parser = ParserCreate()
        parser.StartElementHandler, parser.EndElementHandler, parser.CharacterDataHandler = self._start, self._end, self._text
        parser.StartDoctypeDeclHandler = self._declared
        parser.Parse(content, True)  # noqa: FBT003 - the signature of the library

    def _start(self, tag: str, attributes: dict[str, str]) -> None:
        name = tag.rsplit(":", 1)[-1]
        plain = {key.rsplit(":", 1)[-1]: value for key, value in attributes.items()}
        self._count("".join(attributes.values()))
        self._inside = name == "instrText"
        if name == "Relationship":
            self.relationships.append(plain)
        elif name in {"fldChar", "fldSimple"}:
            self.fields.append(f" {plain.get('instr', '')} ")

    def _end(self, _: str) -> None:
        self._inside = False

    def _text(self, characters: str) -> None:
        self._count(characters)
        if self._inside:
            self.fields.append(characters)

    def _declared(self, *_: object) -> None:
        raise UnsafeDocxError("it declares a document type of its own, which no word processor writes")

    def _count(self, characters: str) -> None:
        self._braces += characters.count("{")
        if self._braces > _MOST_BRACES:
            raise UnsafeDocxError(f"a part of it holds more than {_MOST_BRACES} braces")
