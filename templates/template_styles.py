"""Styles of the shipped DOCX templates, and the packing that makes a template the same bytes each time."""

# ruff: noqa: SLF001  # the library has no public way to the content of a part

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any
from xml.sax.saxutils import quoteattr

from docx.oxml import parse_xml
from docx.oxml.ns import nsdecls

FONT = "Arial"
INK, GRAY, LIGHT, BLUE, RED, ORANGE, GREEN, WHITE = "1A1A1A", "4D4D4D", "C8C8C8", "005998", "C8102E", "B35900", "007B5F", "FFFFFF"
_TWIPS_PER_MM = 1440 / 25.4
_ZIP_DATE = (1980, 1, 1, 0, 0, 0)
_EMPTY_APPLICATION = (
    b'<?xml version="1.0" encoding="UTF-8" standalone="yes"?>'
    b'<Properties xmlns="http://schemas.openxmlformats.org/officeDocument/2006/extended-properties"/>'
)
_DROPPED = ("thumbnail", "customXml", "stylesWithEffects", "webSettings")


@dataclass(frozen=True, slots=True)
class Look:
    """How a style looks: letter size and spaces in points (size 0: as the text around), indents in mm, ``line`` as a factor."""

    size: float = 9
    color: str = ""
    bold: bool = False
    italic: bool = False
    before: float = 0
    after: float = 0
    keep: bool = False
    align: str = "left"
    indent: float = 0
    hanging: float = 0
    line: float = 1.15
    outline: int = -1
    bullet: bool = False
    border: str = ""
    fill: str = ""


PARAGRAPHS = {
    "Normal": Look(9, INK, after=4),
    "Title": Look(22, bold=True, after=2, line=1),
    "Subtitle": Look(11, bold=True, after=8),
    "heading 1": Look(14, bold=True, before=22, after=6, keep=True, outline=0),
    "heading 2": Look(10.5, bold=True, before=16, after=4, keep=True, outline=1),
    "heading 3": Look(9, bold=True, before=10, after=2, keep=True, outline=2),
    "caption": Look(7.5, GRAY, after=4, keep=True),
    "List Bullet": Look(after=2, indent=5, hanging=5, bullet=True),
    "toc 1": Look(after=2),
    "header": Look(7.5, GRAY),
    "footer": Look(7.5, GRAY),
    "Violation line": Look(7.5, WHITE, bold=True, fill=RED),
    "Status": Look(10, before=2, after=4),
    "Deference": Look(before=4, after=6, border=BLUE),
    "Gap": Look(4, line=1),
    "Gap kept": Look(4, line=1, keep=True),
    "Table text": Look(8.5, line=1.05),
    "Table fact": Look(8.5, line=1.05, keep=True),
    "Table head": Look(7.5, GRAY, bold=True, keep=True),
    "Table head right": Look(7.5, GRAY, bold=True, keep=True, align="right"),
    "Table number": Look(8.5, line=1.05, align="right"),
    "Table center": Look(8.5, line=1.05, align="center"),
    "Table part": Look(8.5, line=1.05, indent=4),
    "Dense text": Look(8, line=1),
    "Dense head": Look(8, GRAY, bold=True, keep=True, line=1),
    "Dense number": Look(8, line=1, align="right"),
    "Dense center": Look(8, line=1, align="center"),
    "Dense body": Look(8, before=2, after=2, line=1),
    "Step title": Look(9, before=6, keep=True, line=1),
    "Step section": Look(9, before=6, keep=True, line=1, align="right"),
    "Step equation": Look(9, keep=True, line=1),
    "Step input": Look(8, GRAY, line=1),
    "Step input kept": Look(8, GRAY, line=1, keep=True),
    "Template control": Look(7.5, "808080", line=1),
}
CHARACTERS = {
    "Strong": Look(0, bold=True),
    "Muted": Look(0, GRAY),
    "Symbol": Look(0, italic=True),
    "Index": Look(7.5),
    "Verdict passes": Look(0, GREEN),
    "Verdict violated": Look(0, RED, bold=True),
    "Verdict caution": Look(0, ORANGE),
    "Verdict other": Look(0, GRAY),
    "Section Title": Look(0),
    "Subject Tag": Look(0),
    "Step Number": Look(0, GRAY),
    "Section Link": Look(0),
    "Subject Link": Look(0, BLUE, bold=True),
    "Step Link": Look(0, BLUE),
}
_CELLS = (
    '<w:tblCellMar><w:top w:w="{top}" w:type="dxa"/><w:left w:w="0" w:type="dxa"/>'
    '<w:bottom w:w="{top}" w:type="dxa"/><w:right w:w="90" w:type="dxa"/></w:tblCellMar>'
)
_LINE = '<w:{edge} w:val="single" w:sz="{weight}" w:space="0" w:color="{color}"/>'


def add_styles(document: Any) -> None:
    """Put the styles of the templates in place of those that come with the library."""
    styles = document.styles.element
    for child in list(styles):
        styles.remove(child)
    for xml in _style_xml():
        styles.append(parse_xml(xml))
    numbering = document.part.numbering_part.element
    for child in list(numbering):
        numbering.remove(child)
    for xml in _bullet_xml():
        numbering.append(parse_xml(xml))


def _style_xml() -> Iterator[str]:
    fonts = f'<w:rFonts w:ascii="{FONT}" w:hAnsi="{FONT}" w:cs="{FONT}" w:eastAsia="{FONT}"/>'
    body = f'{fonts}<w:sz w:val="18"/><w:szCs w:val="18"/><w:lang w:val="en-US"/>'
    yield f"<w:docDefaults {nsdecls('w')}><w:rPrDefault><w:rPr>{body}</w:rPr></w:rPrDefault><w:pPrDefault/></w:docDefaults>"
    for name, look in PARAGRAPHS.items():
        yield _style("paragraph", name, f"<w:pPr>{_paragraph(look)}</w:pPr><w:rPr>{_letters(look)}</w:rPr>", is_default=name == "Normal")
    yield _style("character", "Default Paragraph Font", "", is_default=True)
    for name, look in CHARACTERS.items():
        yield _style("character", name, f"<w:rPr>{_letters(look)}</w:rPr>")
    yield _style("table", "Normal Table", f"<w:tblPr>{_CELLS.format(top=0)}</w:tblPr>", is_default=True, style_id="TableNormal")
    yield _style("numbering", "No List", "", is_default=True)
    rules = "".join(_LINE.format(edge=edge, weight=2, color=LIGHT) for edge in ("bottom", "insideH"))
    head = f"<w:tcPr><w:tcBorders>{_LINE.format(edge='bottom', weight=8, color=INK)}</w:tcBorders></w:tcPr>"
    ruled = f"<w:tblPr><w:tblBorders>{rules}</w:tblBorders>{_CELLS.format(top=35)}</w:tblPr>"
    yield _style("table", "Calculation Table", f'{ruled}<w:tblStylePr w:type="firstRow">{head}</w:tblStylePr>', based_on="TableNormal")
    dense = f"<w:tblPr><w:tblBorders>{rules}</w:tblBorders>{_CELLS.format(top=8)}</w:tblPr>"
    yield _style("table", "Dense Table", f'{dense}<w:tblStylePr w:type="firstRow">{head}</w:tblStylePr>', based_on="TableNormal")
    yield _style("table", "Plain Rows", f"<w:tblPr>{_CELLS.format(top=10)}</w:tblPr>", based_on="TableNormal")


def _style(kind: str, name: str, content: str, *, is_default: bool = False, based_on: str = "", style_id: str = "") -> str:
    identifier = style_id or "".join(word[:1].upper() + word[1:] for word in name.split())
    base = based_on or ("Normal" if kind == "paragraph" and not is_default else "")
    default, custom = (' w:default="1"' if is_default else ""), ("" if name in _BUILT_IN else ' w:customStyle="1"')
    head = f'<w:style {nsdecls("w")} w:type="{kind}"{default}{custom} w:styleId={quoteattr(identifier)}><w:name w:val={quoteattr(name)}/>'
    following = '<w:next w:val="Normal"/>' if name.startswith(("heading", "Title", "Subtitle")) else ""
    shown = "" if is_default and kind != "paragraph" else "<w:qFormat/>"
    return f"{head}{f'<w:basedOn w:val={quoteattr(base)}/>' if base else ''}{following}{shown}{content}</w:style>"


_BUILT_IN = {"Normal", "Title", "Subtitle", "heading 1", "heading 2", "heading 3", "caption", "List Bullet", "toc 1", "header", "footer"}
_BUILT_IN |= {"Strong", "Default Paragraph Font", "Normal Table", "No List"}


def _paragraph(look: Look) -> str:
    """Return paragraph properties in the order that the file format prescribes."""
    keep = "<w:keepNext/><w:keepLines/>" if look.keep else ""
    bullet = '<w:numPr><w:ilvl w:val="0"/><w:numId w:val="1"/></w:numPr>' if look.bullet else ""
    border = f'<w:pBdr><w:left w:val="single" w:sz="24" w:space="6" w:color="{look.border}"/></w:pBdr>' if look.border else ""
    spacing = (
        f'<w:spacing w:before="{look.before * 20:.0f}" w:after="{look.after * 20:.0f}" w:line="{look.line * 240:.0f}" w:lineRule="auto"/>'
    )
    indent = f'<w:ind w:left="{look.indent * _TWIPS_PER_MM:.0f}" w:hanging="{look.hanging * _TWIPS_PER_MM:.0f}"/>' if look.indent else ""
    outline = f'<w:outlineLvl w:val="{look.outline}"/>' if look.outline >= 0 else ""
    fill = f'<w:shd w:val="clear" w:color="auto" w:fill="{look.fill}"/>' if look.fill else ""
    return f'{keep}{bullet}{border}{fill}{spacing}{indent}<w:jc w:val="{look.align}"/>{outline}'


def _letters(look: Look) -> str:
    weight = "<w:b/><w:bCs/>" if look.bold else ""
    slant = "<w:i/><w:iCs/>" if look.italic else ""
    color = f'<w:color w:val="{look.color}"/>' if look.color else ""
    size = f'<w:sz w:val="{look.size * 2:.0f}"/><w:szCs w:val="{look.size * 2:.0f}"/>' if look.size else ""
    return f"{weight}{slant}{color}{size}"


def _bullet_xml() -> Iterator[str]:
    font = f'<w:rPr><w:rFonts w:ascii="{FONT}" w:hAnsi="{FONT}"/></w:rPr>'
    mark = '<w:start w:val="1"/><w:numFmt w:val="bullet"/><w:lvlText w:val="•"/><w:lvlJc w:val="left"/>'
    level = f'<w:lvl w:ilvl="0">{mark}{font}</w:lvl>'
    yield f'<w:abstractNum {nsdecls("w")} w:abstractNumId="0"><w:multiLevelType w:val="singleLevel"/>{level}</w:abstractNum>'
    yield f'<w:num {nsdecls("w")} w:numId="1"><w:abstractNumId w:val="0"/></w:num>'


def packed(document: Any, title: str) -> bytes:
    """Return the file of ``document`` without what the library leaves in it: pictures, dates, other authors."""
    package = document.part.package
    for relations in (package.rels, document.part.rels):
        for key in [key for key, relation in relations.items() if relation.reltype.rpartition("/")[2] in _DROPPED]:
            del relations[key]
    for part in package.iter_parts():
        if str(part.partname) == "/docProps/app.xml":
            part._blob = _EMPTY_APPLICATION
    core = document.core_properties
    core.title, core.author, core.last_modified_by, core.comments, core.keywords = title, "permitgen", "permitgen", "", ""
    core.created = core.modified = datetime(2000, 1, 1, tzinfo=UTC).replace(tzinfo=None)
    core.revision = 1
    written = io.BytesIO()
    document.save(written)
    return _repacked(written.getvalue())


def _repacked(content: bytes) -> bytes:
    written = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(content)) as source, zipfile.ZipFile(written, "w") as target:
        for name in sorted(source.namelist(), key=lambda name: (name != "[Content_Types].xml", name)):
            entry = zipfile.ZipInfo(name, _ZIP_DATE)
            entry.compress_type, entry.create_system, entry.external_attr = zipfile.ZIP_DEFLATED, 3, 0o600 << 16
            target.writestr(entry, source.read(name))
    return written.getvalue()
