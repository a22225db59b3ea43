"""What a DOCX template may hold: parts of a usual size, and nothing that fetches, runs or embeds another file when it is opened."""

from __future__ import annotations

import io
import re
import zipfile
import zlib
from collections.abc import Iterator
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
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, ExpatError, OSError, ValueError) as error:
        # NotImplementedError: a method of packing that the library lacks. RuntimeError: an encrypted part.
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
    for tag, attributes, text in _elements(content):
        if tag == "Relationship":
            _check_relationship(attributes)
        elif tag in {"instrText", "fldSimple"} and _TEXT_PART.fullmatch(name):
            _check_field(text + attributes.get("instr", ""))


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


def _elements(content: bytes) -> Iterator[tuple[str, dict[str, str], str]]:
    """Yield local name, attributes by local name, and text of the elements that are checked.

    The text of all field instructions of a part is yielded as one: a word processor puts the runs of a field together.
    """
    found: list[tuple[str, dict[str, str], str]] = []
    instructions: list[str] = []
    inside = False
    braces = 0

    def count(characters: str) -> None:
        nonlocal braces
        braces += characters.count("{")
        if braces > _MOST_BRACES:
            raise UnsafeDocxError(f"a part of it holds more than {_MOST_BRACES} braces")

    def start(tag: str, attributes: dict[str, str]) -> None:
        nonlocal inside
        name = tag.rsplit(":", 1)[-1]
        inside = name == "instrText"
        count("".join(attributes.values()))
        if name in {"Relationship", "fldSimple"}:
            found.append((name, {key.rsplit(":", 1)[-1]: value for key, value in attributes.items()}, ""))
        elif name == "fldChar":
            instructions.append(" ")

    def text(characters: str) -> None:
        count(characters)
        if inside:
            instructions.append(characters)

    def end(_: str) -> None:
        nonlocal inside
        inside = False

    def declared(*_: object) -> None:
        raise UnsafeDocxError("it declares a document type of its own, which no word processor writes")

    parser = ParserCreate()
    parser.StartElementHandler, parser.EndElementHandler, parser.CharacterDataHandler = start, end, text
    parser.StartDoctypeDeclHandler = declared
    parser.Parse(content, True)  # noqa: FBT003 - the signature of the library
    yield from found
    yield "instrText", {}, "".join(instructions)
