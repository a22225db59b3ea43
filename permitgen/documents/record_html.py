"""Writes the record as one HTML page that needs no script, no network and no style to be of use.

The first screen is the emergency, in English and Spanish; the owner's part, the electrician's and that for programs follow.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from markupsafe import Markup

from permitgen.documents.canvas.page import Page
from permitgen.documents.html_page import page
from permitgen.documents.inline_svg import InlineSvg
from permitgen.documents.site_map import MapStyle, map_shapes

if TYPE_CHECKING:
    from permitgen.views.emergency import EmergencyText
    from permitgen.views.record import PrivateRecord, PublicRecord
    from permitgen.views.record_results import ResultRow
    from permitgen.views.site_map import SiteMap

_MAP_MM = (90.0, 50.0)
_MAP_STYLE = MapStyle(marker_mm=7.0, label_mm=2.3, number_mm=4.0, reach_mm=6.0)
_SPANISH_MAP = {
    "SOLAR PANELS": "PANELES",
    "YOU ARE HERE": "USTED ESTÁ AQUÍ",
    "HOUSE": "CASA",
    "GARAGE": "GARAJE",
    "DRIVEWAY": "ENTRADA",
    "STREET": "CALLE",
}


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing of the record: its title and the page it is on."""

    title: str
    page: Page


def record_html(record: PublicRecord, drawings: Sequence[Drawing] = (), project_folder: Path | None = None) -> bytes:
    """Return ``record/index.html``."""
    return page("record.html", _values(record, drawings), styles="record.css", project_folder=project_folder)


def private_record_html(record: PrivateRecord, drawings: Sequence[Drawing] = (), project_folder: Path | None = None) -> bytes:
    """Return ``record_private/index.html``: the same page with everything that is not for the sidewalk above the electrician's part."""
    values = _values(record.public, drawings) | {
        "private": record,
        "decided_by": {path: (by, approved) for path, by, approved in record.decided_by},
    }
    return page("record.html", values, styles="record.css", project_folder=project_folder)


def _values(record: PublicRecord, drawings: Sequence[Drawing]) -> dict[str, Any]:
    owners = {text.language: text for text in record.owner}
    languages = [
        {"text": text, "say": text.phrases.lines, "owner": owners.get(language), "map": _map(record.emergency.map, text)}
        for language, text in sorted(record.emergency.texts.items(), reverse=True)
    ]
    tags = {part.tag: part.tag for part in record.equipment} | {row.tag: row.tag for row in record.circuits}
    older = [row for row in record.revisions if row.number != record.identity.revision]
    return {
        "record": record,
        "identity": record.identity,
        "languages": languages,
        "drawings": [{"title": d.title, "svg": _drawing(d, tags)} for d in drawings],
        "older": older,
        "torque": _torque(record),
        "tests": _tests(record),
        "private": None,
        "decided_by": {},
    }


def _map(site: SiteMap, text: EmergencyText) -> Markup:
    if site.is_empty:
        return Markup("")
    steps = "; ".join(f"{step.number}: {step.object}, {step.place}" for step in text.steps)
    drawn = map_shapes(site, *_MAP_MM, style=_MAP_STYLE)
    words = _SPANISH_MAP if text.language == "es" else {}
    return Markup(InlineSvg(words=words).svg(drawn.shapes, *_MAP_MM, says=f"{text.phrases.lines['where']}: {steps}"))  # noqa: S704  every text in it is escaped


def _drawing(drawing: Drawing, tags: dict[str, str]) -> Markup:
    svg = InlineSvg(targets=tags).svg(drawing.page.shapes, drawing.page.width_mm, drawing.page.height_mm, says=drawing.title)
    return Markup(svg)  # noqa: S704  every text in it is escaped


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
