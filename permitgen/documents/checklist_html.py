"""Writes the field checklist as one HTML file that works without a network and keeps entries in the browser."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from markupsafe import Markup

from permitgen.documents.html_page import json_island, page
from permitgen.documents.label_walls import label_wall_svg
from permitgen.views.survey import Survey, SurveyLine

if TYPE_CHECKING:
    from permitgen.views.checklist.blocks import Block
    from permitgen.views.checklist.proof import Proof
    from permitgen.views.field_checklist import ChecklistLine, FieldChecklist
    from permitgen.views.label_places import LabelWall
    from permitgen.views.limits import LimitsPage


def checklist_html(view: FieldChecklist, project_folder: Path | None = None) -> bytes:
    """Return ``field_checklist.html``."""
    sections = [{"section": section, "proofs": {block.key: _shared_proof(block) for block in section.blocks}} for section in view.sections]
    values = {
        "checklist": view,
        "title": view.title,
        "sections": sections,
        "walls": [_wall(wall) for wall in view.label_walls],
        "data": json_island(form_data(view)),
        "count": view.entries,
    }
    return page("checklist.html", values, styles="checklist.css", scripts="checklist.js", project_folder=project_folder)


def _wall(wall: LabelWall) -> dict[str, Any]:
    svg = Markup(label_wall_svg(wall))  # noqa: S704  every text in it is escaped
    return {"title": wall.elevation.title, "svg": svg}


def _shared_proof(block: Block) -> Proof | None:
    """Return how the lines of a table are measured where it is the same for all of them, to be printed once."""
    first = block.lines[0].proof
    if block.kind != "table" or first is None or any(line.proof is None for line in block.lines):
        return None
    return first if all(line.proof == first for line in block.lines) else None


def form_data(view: FieldChecklist) -> dict[str, Any]:
    """Return what the script needs: rules by line, lists of choices once each, and what results carry home."""
    lists: dict[tuple[str, ...], int] = {}
    limits = consequences(view.limits)
    lines = {line.id: _line(line, lists, limits.get(line.id, ())) for line in view.lines}
    return {
        "key": view.key,
        "kind": "survey" if isinstance(view, Survey) else "checklist",
        "project": view.project,
        "revision": view.revision,
        "fingerprint": view.fingerprint,
        "since": view.title.revision_date,
        "lines": lines,
        "choices": [list(choices) for choices in lists],
    }


def consequences(page: LimitsPage | None) -> dict[str, tuple[str, ...]]:
    """Return what else passes where a line compares what was built with the plans, by the id of the line, so that it shows at once.

    Three texts: what passes without asking, what passes with approval, what does not and why.
    """
    found: dict[str, tuple[str, ...]] = {}
    for card in page.cards if page is not None else ():
        for line in card.lines:
            told = (line.passes, line.with_approval, "; ".join(line.refused))
            place, _, what = line.what.partition(" ")
            ids = {"breaker or fuse": f"device:{card.tag}@{place}", "trade size": f"raceway:{place}", "": f"conductor:{card.tag}"}
            if what in ids and not line.said_at:
                found.setdefault(ids[what], told)
    return found


def _line(line: ChecklistLine, lists: dict[tuple[str, ...], int], consequence: tuple[str, ...]) -> dict[str, Any]:
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
        "also": [[limit.name, limit.label, limit.least, limit.most, limit.is_condition, limit.unit] for limit in rule.also],
        "permitted": line.permitted,
        "choices": lists.setdefault(line.choices, len(lists)) if line.choices else None,
        "inputs": [[i.name, i.label, i.unit] for i in line.inputs],
        "photo": line.photo,
        "shot": line.is_shot,
        "needs": list(line.needs),
        "safety": bool(line.safety),
        "consequence": list(consequence),
    }
    if isinstance(line, SurveyLine):
        form = line.form
        wanted["choices"] = lists.setdefault(form.choices, len(lists)) if form.choices else None
        wanted |= {"pattern": form.pattern, "example": form.example, "several": form.takes_several, "none": form.takes_none}
    # The first list of choices has the number 0, which is not nothing.
    return {key: value for key, value in wanted.items() if value is not False and value not in (None, "", [])}
