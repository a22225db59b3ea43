"""Writes the short forms of the record as one page: what happened later becomes a results file that whoever keeps the record takes in."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from permitgen.documents.html_page import json_island, page
from permitgen.project.field_results import FORMAT, LONGEST

if TYPE_CHECKING:
    from permitgen.views.record import PublicRecord

FORMS_NAME = "short_forms.html"


def short_forms_html(record: PublicRecord, sent_as: str, project_folder: Path | None = None) -> bytes:
    """Return ``short_forms.html``; ``sent_as`` names the project in the file that it makes."""
    keeping = record.keeping
    values = {
        "forms": keeping.forms,
        "custodian": keeping.custodian,
        "identity": record.identity,
        "last": {form.id: keeping.last(form.id) for form in keeping.forms},
        "longest": LONGEST,
        "data": json_island(_data(record, sent_as)),
    }
    return page("short_forms.html", values, styles="short_forms.css", scripts="short_forms.js", project_folder=project_folder)


def _data(record: PublicRecord, sent_as: str) -> dict[str, Any]:
    keeping = record.keeping
    return {
        "format": FORMAT,
        "project": sent_as,
        "revision": record.identity.revision,
        "fingerprint": keeping.digest,
        "custodian": keeping.custodian,
        "titles": {form.id: form.title["en"] for form in keeping.forms},
        "kept": [entry for each in keeping.kept for entry in each.entries],
    }
