"""Writes the field checklist as one HTML file that works without a network and keeps entries in the browser."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from markupsafe import Markup

from permitgen.documents.html_page import json_island, page
from permitgen.documents.label_walls import label_wall_svg

if TYPE_CHECKING:
    from permitgen.views.field_checklist import ChecklistLine, ChecklistSection, FieldChecklist
    from permitgen.views.label_places import LabelWall


@dataclass(frozen=True, slots=True)
class _Group:
    """Lines of one termination, or one line alone."""

    title: str
    lines: tuple[ChecklistLine, ...]


def checklist_html(view: FieldChecklist, project_folder: Path | None = None) -> bytes:
    """Return ``field_checklist.html``."""
    sections = [{"section": section, "groups": tuple(_groups(section))} for section in view.sections]
    values = {
        "checklist": view,
        "title": view.title,
        "sections": sections,
        "walls": [_wall(wall) for wall in view.label_walls],
        "data": json_island(form_data(view)),
        "count": len(view.lines),
    }
    return page("checklist.html", values, styles="checklist.css", scripts="checklist.js", project_folder=project_folder)


def _wall(wall: LabelWall) -> dict[str, Any]:
    svg = Markup(label_wall_svg(wall))  # noqa: S704  every text in it is escaped
    return {"title": wall.elevation.title, "svg": svg}


def _groups(section: ChecklistSection) -> Iterator[_Group]:
    waiting: list[ChecklistLine] = []
    for line in section.lines:
        if waiting and (not line.group or line.group != waiting[0].group):
            yield _Group(waiting[0].group_title, tuple(waiting))
            waiting = []
        waiting.append(line)
        if not line.group:
            yield _Group("", (line,))
            waiting = []
    if waiting:
        yield _Group(waiting[0].group_title, tuple(waiting))


def form_data(view: FieldChecklist) -> dict[str, Any]:
    """Return what the script needs: rules by line, lists of choices once each, and what results carry home."""
    lists: dict[tuple[str, ...], int] = {}
    lines = {line.id: _line(line, lists) for line in view.lines}
    return {
        "key": view.key,
        "project": view.project,
        "revision": view.revision,
        "fingerprint": view.fingerprint,
        "lines": lines,
        "choices": [list(choices) for choices in lists],
    }


def _line(line: ChecklistLine, lists: dict[tuple[str, ...], int]) -> dict[str, Any]:
    rule = line.rule
    wanted = {
        "tag": line.tag,
        "kind": rule.kind,
        "unit": rule.unit,
        "least": rule.least,
        "most": rule.most,
        "base": rule.base,
        "count": rule.count,
        "coefficient": rule.coefficient,
        "reference": rule.reference,
        "tolerance": rule.tolerance_percent,
        "also": [[limit.name, limit.label, limit.least, limit.most, limit.is_condition] for limit in rule.also],
        "permitted": line.permitted,
        "choices": lists.setdefault(line.choices, len(lists)) if line.choices else None,
        "inputs": [[i.name, i.label, i.unit] for i in line.inputs],
        "photo": line.photo,
    }
    return {key: value for key, value in wanted.items() if value not in (None, "", [], False)}
