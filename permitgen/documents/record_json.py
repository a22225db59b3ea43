"""Writes the record as JSON for programs, with stable terms; ``record.schema.json`` describes it and lies beside it."""

from __future__ import annotations

import json
from importlib.resources import files
from typing import TYPE_CHECKING, Any

from permitgen.values.units import printed_unit
from permitgen.views.gates import gate_data

if TYPE_CHECKING:
    from permitgen.views.document_list import ListedDocument
    from permitgen.views.emergency import Emergency
    from permitgen.views.record import PublicRecord
    from permitgen.views.record_keeping import Keeping
    from permitgen.views.record_private import PrivateRecord
    from permitgen.views.record_results import ResultRow

SCHEMA_VERSION = "1.0"
SCHEMA_NAME = "record.schema.json"


def record_json(record: PublicRecord) -> bytes:
    """Return ``record/record.json``."""
    return _bytes(_public(record))


def private_record_json(record: PrivateRecord) -> bytes:
    """Return ``record.json`` of the owner's and the electrician's record: the public facts and, under ``private``, the others."""
    private = {
        "project": record.project,
        "number": record.number,
        "site_address": record.site_address,
        "people": [
            _without_empty({n: getattr(p, n) for n in ("role", "name", "company", "license", "phone", "email")}) for p in record.people
        ],
        "serial_numbers": [{"tag": s.tag, "serial_number": s.serial, "date": s.date or None} for s in record.serials],
        "settings": dict(record.settings),
        "warranties": [{"part": part.tag, "until": part.until} for part in record.dates if part.until],
        "installed": [{"part": part.tag, "on": part.installed} for part in record.dates if part.installed],
        "told": [_without_empty({"date": day, "to": to, "what": what, "by": by}) for day, to, what, by in record.told],
        "entries": [
            _private_entry(row)
            for row in record.results
            if row.by or row.instrument or row.note or row.photos or row.earlier or row.is_private
        ],
        "decisions": [{"path": _pointer(path), "decided_by": by, "approved_by": approved} for path, by, approved in record.decided_by],
    }
    return _bytes(_public(record.public) | {"document_id": record.document_id, "private": private})


def schema_bytes() -> bytes:
    """Return the schema that is stored beside every record, so that it can still be read when the program is gone."""
    return files("permitgen.documents").joinpath(SCHEMA_NAME).read_bytes()


def _bytes(content: dict[str, Any]) -> bytes:
    return (json.dumps(content, ensure_ascii=False, indent=1) + "\n").encode("utf-8")


def _public(record: PublicRecord) -> dict[str, Any]:
    identity = record.identity
    return {
        "$schema": SCHEMA_NAME,
        "schema_version": SCHEMA_VERSION,
        "record_id": identity.record_id,
        "address": identity.address,
        "status": identity.status,
        "state": identity.state,
        "accepted": identity.accepted_on or None,
        "commissioned": identity.commissioned or None,
        "document_id": record.document_id,
        "revision": {"number": identity.revision, "date": identity.revision_date or None},
        "jurisdiction": {"name": identity.jurisdiction, "permit_number": identity.permit_number, "code_edition": identity.edition},
        "emergency": _emergency(record.emergency),
        "parts": [_part(part) for part in record.equipment],
        "circuits": [_circuit(row) for row in record.circuits],
        "differences": [_difference(row) for row in record.differences],
        "tests": [_test(row) for row in record.results],
        "settings": dict(record.settings),
        "gates": [gate_data(gate) for gate in record.gates],
        "findings": [
            {"id": f.id, "verdict": f.verdict, "subject": f.subject, "section": f.section, "message": f.message}
            for f in {f.id: f for f in (*record.open_findings, *record.worse, *record.failed, *record.inspected)}.values()
        ],
        "maintenance": _maintenance(record),
        "keeping": _keeping(record.keeping),
        "revisions": [
            {"number": r.number, "date": r.date, "reason": r.reason, "digest": r.digest, "previous": r.previous} for r in record.revisions
        ],
        "documents": [{"name": d.name, "sha256": d.sha256, "bytes": d.bytes} for d in record.documents],
        "document_ids": [_listed(each) for each in record.listed],
    }


def _keeping(keeping: Keeping) -> dict[str, Any]:
    return {
        "custodian": keeping.custodian,
        "next_yearly": keeping.next_yearly or None,
        "occasions": [
            {
                "form": each.form,
                "date": each.date,
                "answers": [_without_empty({"line": a.line, "what": a.what, "said": a.said, "words": a.words}) for a in each.answers],
            }
            | _without_empty({"by": each.by})
            for each in keeping.kept
        ],
    }


def _listed(each: ListedDocument) -> dict[str, Any]:
    return _without_empty({"id": each.document_id, "kind": each.kind, "name": each.name, "place": each.place, "tag": each.tag})


def _emergency(emergency: Emergency) -> dict[str, Any]:
    texts = emergency.texts
    points = {step.number: step.at for step in emergency.map.steps}
    steps = []
    for index, step in enumerate(emergency.english.steps):
        same = {language: text.steps[index] for language, text in texts.items()}
        content: dict[str, Any] = {
            "number": step.number,
            "tag": step.tag,
            "place": {language: one.place for language, one in same.items()},
            "object": {language: one.object for language, one in same.items()},
            "action": {language: one.action for language, one in same.items()},
            "stops": list(step.stop_tags),
        }
        if step.number in points:
            content["at_ft"] = list(points[step.number])
        steps.append(content)
    return {
        "makes_dead": emergency.makes_dead,
        "steps": steps,
        "remains_live": [
            {language: text.stays_live[index] for language, text in texts.items()} for index in range(len(emergency.english.stays_live))
        ],
        "storage": _storage(emergency),
        "sources": list(emergency.english.sources),
        "warning": {language: text.warning for language, text in texts.items()},
        "contact": emergency.english.contact,
    }


def _storage(emergency: Emergency) -> list[dict[str, Any]]:
    found = []
    for index, line in enumerate(emergency.english.storage):
        content: dict[str, Any] = {
            "place": {language: text.storage[index].place for language, text in emergency.texts.items()},
            "chemistry": line.chemistry,
            "tags": list(line.tags),
        }
        if line.unit_count is not None:
            content["units"] = line.unit_count
        if line.energy_kwh is not None:
            content["energy"] = _quantity(line.energy_kwh.number, printed_unit(line.energy_kwh.unit))
        found.append(content)
    return found


def _quantity(value: float, unit: str) -> dict[str, Any]:
    return {"value": int(value) if value == int(value) else value, "unit": unit}


def _part(part: Any) -> dict[str, Any]:
    return {
        "tag": part.tag,
        "kind": part.kind,
        "name": part.name,
        "location": part.place,
        "ratings": {rating.name: _quantity(rating.number, printed_unit(rating.unit)) for rating in part.ratings},
        "neutral_bond": part.neutral_bond,
    }


def _circuit(row: Any) -> dict[str, Any]:
    return {
        "tag": row.tag,
        "name": row.name,
        "path": row.path,
        "role": row.role,
        "overcurrent": row.device,
        "conductors": row.conductors,
        "run": row.raceway,
        "verdict": row.verdict,
    }


def _pointer(path: str) -> str:
    """Return a dotted key as a JSON pointer (RFC 6901)."""
    return "/" + "/".join(step.replace("~", "~0").replace("/", "~1") for step in path.split("."))


def _difference(row: Any) -> dict[str, Any]:
    return {
        "path": _pointer(row.path),
        "tag": row.tag,
        "permitted": row.permitted,
        "built": row.built,
        "reason": row.reason,
        "date": row.date or None,
        "class": row.kind,
        "approved": bool(row.approved),
        "superseded": row.is_superseded,
        "findings": list(row.findings),
    }


def _test(row: ResultRow) -> dict[str, Any]:
    content: dict[str, Any] = {
        "id": row.id,
        "kind": row.section,
        "part": row.tag,
        "what": row.what,
        "expected": row.expected,
        "limit": row.limit,
        "source": row.source,
        "conditions": row.conditions,
        "verdict": row.verdict,
        "reason": "; ".join(part for part in (row.why, row.said) if part),
        "date": row.date or None,
    }
    for name, number in (("measured", row.measured_number), ("least", row.least), ("most", row.most)):
        if number is not None and row.unit:
            content[name] = _quantity(number, row.unit)
    kept = _without_empty(content)
    return kept | {"verdict": row.verdict}


def _private_entry(row: ResultRow) -> dict[str, Any]:
    content = {
        "line": row.id,
        "value": row.measured,
        "by": row.by,
        "instrument": row.instrument,
        "note": row.note,
        "photos": list(row.photos),
        "earlier": list(row.earlier),
    }
    return _without_empty(content)


def _without_empty(content: dict[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in content.items() if value not in ("", None, [])}


def _maintenance(record: PublicRecord) -> list[dict[str, Any]]:
    if not record.owner:
        return []
    first = record.owner[0]
    return [
        {
            "task": {owner.language: owner.maintenance[index].task for owner in record.owner},
            "every_months": row.months,
            "next": row.next if row.next[:4].isdigit() else None,
        }
        for index, row in enumerate(first.maintenance)
    ]
