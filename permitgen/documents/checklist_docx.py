"""The field checklist as a DOCX, from a template that anyone can restyle in a word processor."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from permitgen.documents.docx_template import filled_docx, properties_of
from permitgen.documents.resources import template_path

if TYPE_CHECKING:
    from permitgen.views.field_checklist import ChecklistLine, ChecklistSection, FieldChecklist

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
        "bases": [{"basis": basis, "words": words} for basis, words in view.bases],
        "sections": [_section(number, section) for number, section in enumerate(view.sections, 1)],
    }


def _section(number: int, section: ChecklistSection) -> dict[str, Any]:
    rows: list[dict[str, Any]] = []
    group = ""
    for index, line in enumerate(section.lines, 1):
        starts = bool(line.group) and line.group != group
        group = line.group
        rows.append(_line(line, index if section.steps else 0, starts=starts))
    return {"heading": f"{number}. {section.title}", "intro": section.intro, "lines": rows}


def _line(line: ChecklistLine, number: int, *, starts: bool) -> dict[str, Any]:
    return {
        "group": f"{line.group_title}{'   ' + line.place if line.place else ''}" if starts else "",
        "lead": " ".join(part for part in (str(number) if number else "", "" if line.group else line.tag) if part),
        "what": line.instruction,
        "small": " · ".join(
            part
            for part in (
                line.proof.text if line.proof else "",
                line.why,
                "" if line.group else line.place,
                f"[{line.basis}] {line.source}".strip(),
            )
            if part
        ),
        "photo": "photo" if line.photo else "",
        "expected": line.expected,
        "limit": line.limit,
        "found": _found(line),
    }


def _found(line: ChecklistLine) -> str:
    if line.rule.kind == "done":
        return "☐ yes   ☐ no"
    if line.rule.kind == "match":
        return "☐ as drawn   ☐ other:"
    further = "".join(f"{i.label}: ________ {i.unit}\n" for i in line.inputs)
    return f"{further}________ {line.unit}" if line.unit else "________________"
