"""The field checklist as a DOCX, from a template that anyone can restyle in a word processor; the same rows as on paper."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from permitgen.documents.canvas.table import Cell
from permitgen.documents.checklist_rows import INTRO, checklist_rows, steps_text
from permitgen.documents.docx_template import filled_docx, properties_of
from permitgen.documents.resources import template_path

if TYPE_CHECKING:
    from permitgen.documents.canvas.table import Row
    from permitgen.documents.canvas.typography import Words
    from permitgen.views.field_checklist import FieldChecklist

TEMPLATE = "field_checklist.docx"


def checklist_docx(view: FieldChecklist, template: Path | None = None) -> bytes:
    """Return ``field_checklist.docx``, from the shipped template or another one.

    Raises:
        ProblemsError: the template cannot be used; see ``docx_template``.
    """
    properties = properties_of("Field checklist", view.title, view.document_id)
    return filled_docx(template or template_path(TEMPLATE), checklist_fields(view), properties)


def checklist_fields(view: FieldChecklist) -> dict[str, Any]:
    """Return everything a template may print, as plain dicts, lists and texts."""
    title = view.title
    facts = (
        ("Address", title.address),
        ("Jurisdiction", title.jurisdiction),
        ("Edition", title.edition),
        ("Permit", title.permit_number),
        ("Revision", f"{title.revision} of {title.revision_date}" if title.revision_date else title.revision),
        ("Entries to make", str(view.entries)),
        ("Document ID", view.document_id),
    )
    return {
        "title": {
            "project": title.project,
            "number": title.number,
            "revision": title.revision,
            "edition": title.edition,
            "document_id": view.document_id,
            "status": title.status,
            "has_violations": title.has_violations,
            "cautions": list(title.cautions),
            "deference": title.deference,
            "facts": [{"name": name, "value": value} for name, value in facts if value],
            "footer": f"Revision {title.revision} · {title.edition} · Document ID {view.document_id}",
        },
        "intro": INTRO,
        "bases": "; ".join(f"{basis}, {words}" for basis, words in view.bases),
        "rows": [_row(row) for row in checklist_rows(view)],
        "instructions": [{"heading": each.title, "intro": each.intro, "steps": steps_text(each)} for each in view.instructions],
    }


def _row(row: Row) -> dict[str, Any]:
    """Return a row by its kind.

    ``section`` heads, ``held`` and ``wide`` reach over all columns (the first stays with the row behind it), in a ``pair`` what was
    found reaches into the last column, an ``entry`` has each.
    """
    cells = [cell if isinstance(cell, Cell) else Cell(cell) for cell in row.cells]
    wide = "section" if row.kind == "section" else "held" if row.keep_with_next else "wide"
    kind = {1: wide, 2: "pair"}.get(len(cells), "entry")
    words = [_runs(cell.words) for cell in cells]
    if kind == "section":
        words[0] = [piece | {"kind": "strong"} if piece["kind"] == "plain" else piece for piece in words[0]]
    return {"kind": kind, "what": words[0], "found": words[1] if len(words) > 1 else []}


def _runs(words: Words) -> list[dict[str, str]]:
    if isinstance(words, str):
        return [{"text": words, "kind": "plain"}] if words else []
    return [{"text": run.text, "kind": run.kind} for run in words if run.text]
