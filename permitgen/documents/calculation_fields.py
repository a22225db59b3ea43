"""The fields that the template of the reviewer's calculation may use: nested dicts, lists and texts, nothing else.

Their names are public, because people write templates with them: ``templates/README.md`` lists them.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.documents.derivation_fields import Fields, kept_together, title_fields, verdict_fields
from permitgen.views.reviewer.document import TO_CONFIRM

if TYPE_CHECKING:
    from permitgen.views.reviewer.parts import CheckLine, CircuitLine, LoadTable, ReviewerCalculation, ReviewSection


def calculation_fields(view: ReviewerCalculation) -> Fields:
    """Return the fields of a reviewer's calculation."""
    headings = {section.key: f"{number} {section.title}" for number, section in enumerate(view.sections, start=1)}
    heading_of = {key: headings[section.key] for section in view.sections for key in _keys(section)}
    index = (
        {"section": entry.section, "places": [{"heading": heading} for heading in dict.fromkeys(heading_of[key] for key in entry.keys)]}
        for entry in view.index
    )
    fields: Fields = {
        "title": title_fields(view.title, view.document_id),
        "standing": view.standing,
        "to_confirm": TO_CONFIRM,
        "questions": [{"text": each.text, "heading": heading_of[each.keys[0]], "sheet": each.sheet} for each in view.questions],
        "sections": [_section(section, headings[section.key]) for section in view.sections],
        "index": list(index),
    }
    kept: Fields = kept_together(fields)
    return kept


def _keys(section: ReviewSection) -> tuple[str, ...]:
    """Return the keys of a section and of every row in it."""
    loads = (key for table in section.loads for key in (table.key, *(line.key for line in table.lines)))
    return (section.key, section.also_key, *(row.key for row in section.circuits), *loads, *(row.key for row in section.lines))


def _section(section: ReviewSection, heading: str) -> Fields:
    return {
        "heading": heading,
        "sheet": section.sheet,
        "note": section.note,
        "circuits": [_circuit(line) for line in section.circuits],
        "loads": [_load(table) for table in section.loads],
        "lines": [_check(line) for line in section.lines],
        "also": [
            {"subject": each.subject, "message": each.text, "section": each.section, "star": _star(is_marked=each.to_confirm)}
            for each in section.also
        ],
        "assumptions": [{"title": title, "value": value, "reason": reason} for title, value, reason in section.assumptions],
    }


def _star(*, is_marked: bool) -> str:
    return " *" if is_marked else ""


def _circuit(line: CircuitLine) -> Fields:
    texts = ("tag", "name", "path", "current", "basis", "required", "asked", "device", "conductors", "table", "ambient", "count")
    more = ("corrected", "terminal", "ground", "why", "drop")
    return {
        **{name: getattr(line, name) for name in (*texts, *more)},
        "runs": [{"run": run} for run in line.runs],
        "star": _star(is_marked=line.to_confirm),
        **verdict_fields(line.verdict),
    }


def _load(table: LoadTable) -> Fields:
    return {
        "title": table.title,
        "section": table.section,
        "terms": [
            {"term": line.text, "connected": line.connected, "factor": line.factor, "counted": line.demand, "section": line.section}
            for line in table.lines
        ],
        "total": table.total,
        "current": table.current,
        "capacity": table.capacity,
    }


def _check(line: CheckLine) -> Fields:
    return {
        "subject": line.subject,
        "message": line.text,
        "is_part": "yes" if line.is_part else "",
        "computed": line.computed,
        "relation": line.relation,
        "limit": line.limit,
        "section": line.section,
        "star": _star(is_marked=line.to_confirm),
        **verdict_fields(line.verdict),
    }
