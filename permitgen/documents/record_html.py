"""Writes the record as HTML pages that need no script, no network and no style to be of use.

The first page is read at the gate and must come over a bad line: its first screen is the emergency, in English and Spanish; the owner's
part, the inspection, the differences and the Document IDs follow. Drawings, tests and calculations stand on two pages of their own.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from markupsafe import Markup, escape

from permitgen.documents.canvas.bounds import Box, bounds
from permitgen.documents.canvas.shapes import Group, moved
from permitgen.documents.html_page import page
from permitgen.documents.inline_svg import InlineSvg
from permitgen.documents.sheets.one_line_sheet import one_line_part
from permitgen.documents.sheets.packing import packed
from permitgen.documents.short_forms_html import FORMS_NAME
from permitgen.documents.site_map import MapStyle, map_shapes
from permitgen.views.gates import gate_text
from permitgen.views.record_keeping import YEARLY
from permitgen.views.vocabulary import verdict_words

if TYPE_CHECKING:
    from permitgen.documents.canvas.shapes import Shape
    from permitgen.views.emergency import EmergencyText
    from permitgen.views.one_line import OneLine
    from permitgen.views.record import PublicRecord
    from permitgen.views.record_private import PrivateRecord
    from permitgen.views.record_results import ResultRow
    from permitgen.views.site_map import SiteMap

FIRST_PAGE = "index.html"
_TEMPLATES = {FIRST_PAGE: "record.html", "electrician.html": "record_electrician.html", "calculations.html": "record_calculations.html"}
"""The template of each page, the first page first."""
_MAP_MM = (90.0, 50.0)
_ONE_LINE_MM = (340.0, 240.0)
_AIR_MM = 3.0
_MAP_STYLE = MapStyle(marker_mm=7.0, label_mm=2.3, reach_mm=6.0)
_SPANISH_MAP = {
    "SOLAR PANELS": "PANELES",
    "HOUSE": "CASA",
    "GARAGE": "GARAJE",
    "DRIVEWAY": "ENTRADA",
    "STREET": "CALLE",
}


def record_pages(record: PublicRecord, project_folder: Path | None = None, *, beside: str = "") -> dict[str, bytes]:
    """Return the pages of the public record by name; ``beside`` is the folder in which lies what the first one links to, with a slash."""
    values = _values(record) | {"beside": beside, "forms": FORMS_NAME if record.keeping.sent_as else ""}
    return _pages(values, project_folder)


def private_record_pages(record: PrivateRecord, project_folder: Path | None = None, *, is_owner: bool) -> dict[str, bytes]:
    """Return the pages of the owner's record, or the electrician's: the public ones with everything that is not for the sidewalk.

    The owner's has no electrician's part; settings and photos stand with what is private.
    """
    public = replace(record.public, parts=("emergency", "owner")) if is_owner else record.public
    values = _values(public) | {
        "private": record,
        "is_owner": is_owner,
        "telephones": {person.phone: telephone_links(person.phone) for person in record.people},
        "document_id": record.document_id,
        "decided_by": {path: (by, approved) for path, by, approved in record.decided_by},
    }
    return _pages(values, project_folder)


def _pages(values: dict[str, Any], project_folder: Path | None) -> dict[str, bytes]:
    names = page_names(values["record"])
    return {name: page(_TEMPLATES[name], values, styles="record.css", project_folder=project_folder) for name in names}


def page_names(record: PublicRecord) -> tuple[str, ...]:
    """Return the names of a record's pages, the first page first; the others are the electrician's part."""
    return tuple(_TEMPLATES) if "electrician" in record.parts else (FIRST_PAGE,)


def _values(record: PublicRecord) -> dict[str, Any]:
    owners = {text.language: text for text in record.owner}
    languages = [
        {
            "text": text,
            "say": text.phrases.lines,
            "owner": owners.get(language),
            "contact": telephone_links(text.contact),
            "map": _map(record.emergency.map, text),
            **_kept(record, text),
        }
        for language, text in sorted(record.emergency.texts.items(), reverse=True)
    ]
    tags = {part.tag: part.tag for part in record.equipment} | {row.tag: row.tag for row in record.circuits}
    older = [row for row in record.revisions if row.number != record.identity.revision]
    return {
        "record": record,
        "verdict_words": verdict_words(),
        "identity": record.identity,
        "gates": [gate_text(gate) for gate in record.gates],
        "languages": languages,
        "drawings": _drawings(record, tags),
        "anchors": tags,
        "checked": {block.tag for group in record.checks for block in group.blocks},
        "older": older,
        "torque": _torque(record),
        "tests": _tests(record),
        "private": None,
        "is_owner": False,
        "document_id": record.document_id,
        "decided_by": {},
        "beside": "",
        "forms": FORMS_NAME,
        "form_titles": {form.id: form.title["en"] for form in record.keeping.forms},
    }


def _kept(record: PublicRecord, text: EmergencyText) -> dict[str, Any]:
    """Return in one language who keeps the record, what came back, and what to do when its address is gone."""
    keeping, identity, say = record.keeping, record.identity, text.phrases.say
    rows = []
    for form in keeping.forms:
        last = keeping.last(form.id)
        points = [point for each in keeping.kept if each.form == form.id and each.date == last for point in each.open_points]
        words = {each.line.instruction: each.line.instruction if text.language == "en" else each.spanish for each in form.lines}
        rows.append(
            {
                "title": form.title[text.language],
                "last": say("keep.on", date=last) if last else "",
                "is_due": form.id == YEARLY,
                "next": keeping.next_yearly if form.id == YEARLY else "",
                "points": say("keep.points", points="; ".join(words[point] for point in points)) if points else "",
            }
        )
    custodian = say("keep.by", custodian=keeping.custodian) if keeping.custodian else say("keep.by.nobody")
    gone = "keep.gone" if identity.record_id else "keep.gone.unnumbered"
    return {
        "custodian": telephone_links(custodian),
        "kept": rows,
        "gone": say(gone, authority=identity.jurisdiction, number=identity.record_id),
    }


_TELEPHONE = re.compile(r"\+?[0-9][0-9 ().-]{5,18}[0-9]")


def telephone_links(text: str) -> Markup:
    """Return a text with its telephone numbers as links that a phone dials; everything in it is escaped."""
    found = Markup("")
    end = 0
    for match in _TELEPHONE.finditer(text):
        dialed = re.sub(r"[^0-9+]", "", match[0])
        found += escape(text[end : match.start()]) + Markup('<a href="tel:{}">{}</a>').format(dialed, match[0])
        end = match.end()
    return found + escape(text[end:])


def _map(site: SiteMap, text: EmergencyText) -> Markup:
    if site.is_empty:
        return Markup("")
    steps = "; ".join(f"{step.number}: {step.object}, {step.place}" for step in text.steps)
    drawn = map_shapes(site, *_MAP_MM, style=_MAP_STYLE)
    words = _SPANISH_MAP if text.language == "es" else {}
    return Markup(InlineSvg(words=words).svg(drawn.shapes, *_MAP_MM, says=f"{text.phrases.lines['where']}: {steps}"))  # noqa: S704  every text in it is escaped


def _drawings(record: PublicRecord, tags: dict[str, str]) -> list[dict[str, str]]:
    """Return the one-line diagram, drawn as on the plan sheet; its tags lead to the rows of the tables."""
    if record.one_line is None:
        return []
    drawn = []
    for name, shapes, width, height in _one_line(record.one_line):
        title = f"{name}, {record.identity.state_text}"
        svg = InlineSvg(targets=tags).svg(shapes, width, height, says=title)
        drawn.append({"title": title, "svg": Markup(svg)})  # noqa: S704  every text in it is escaped
    return drawn


@lru_cache(maxsize=4)
def _one_line(view: OneLine) -> tuple[tuple[str, tuple[Shape, ...], float, float], ...]:
    """Return title, shapes, width and height in mm of each part of the diagram; the public and the private page share it."""
    found: list[tuple[str, tuple[Shape, ...], float, float]] = []
    room = Box(0.0, 0.0, *_ONE_LINE_MM)
    for drawing in packed((one_line_part(view, room),), room):
        box = bounds(drawing.shapes)
        if box is not None:
            placed = Group(drawing.shapes, transform=moved(_AIR_MM - box.left, _AIR_MM - box.top))
            found.append((drawing.name.title, (placed,), box.width + 2 * _AIR_MM, box.height + 2 * _AIR_MM))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class _Block:
    """Results under one heading."""

    title: str
    rows: tuple[ResultRow, ...]


def _torque(record: PublicRecord) -> tuple[_Block, ...]:
    """The torque log by enclosure: one block for each place where screws are."""
    return _blocks([(row.id.partition("@")[2].partition(":")[0].partition(".")[0], row) for row in record.torque])


def _tests(record: PublicRecord) -> tuple[_Block, ...]:
    return _blocks([(row.section, row) for row in record.tests])


def _blocks(pairs: list[tuple[str, ResultRow]]) -> tuple[_Block, ...]:
    found: dict[str, list[ResultRow]] = {}
    for title, row in pairs:
        found.setdefault(title, []).append(row)
    return tuple(_Block(title, tuple(rows)) for title, rows in found.items())
