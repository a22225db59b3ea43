"""The summary of a shelf: ``shelf.csv`` for a sheet, ``shelf.json`` for programs, ``shelf.html`` with links to the packages."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import asdict
from typing import TYPE_CHECKING
from urllib.parse import quote

from permitgen import __version__
from permitgen.documents.html_page import page
from permitgen.documents.material_list_tables import plain_cell
from permitgen.views.shelf import totals_text, verdicts_shown
from permitgen.views.vocabulary import verdict_word

if TYPE_CHECKING:
    from permitgen.views.shelf import Shelf, ShelfRow


def shelf_files(shelf: Shelf, way_back: str) -> dict[str, bytes]:
    """Return the three files by name; ``way_back`` leads from their folder to that of the shelf and ends in ``/``."""
    return {"shelf.csv": shelf_csv(shelf), "shelf.json": shelf_json(shelf), "shelf.html": shelf_html(shelf, way_back)}


def shelf_csv(shelf: Shelf) -> bytes:
    """Return one line for each project."""
    text = io.StringIO()
    write = csv.writer(text, lineterminator="\r\n")
    verdicts = verdicts_shown(shelf.rows)
    compared = ("changes", "new violations", "what changes") if shelf.compares else ()
    words = map(verdict_word, verdicts)
    write.writerow(("file", "project", "number", "edition", "outcome", *words, "gates", "messages", "package", *compared))
    for row in shelf.rows:
        counts = [str(row.count(verdict)) if row.counts else "" for verdict in verdicts]
        cells = [row.file, row.project, row.number, row.edition, row.outcome, *counts]
        cells += ["; ".join(row.gates), "\n".join(row.messages), row.package]
        if shelf.compares:
            changes = "\n".join(f"{change.part}: {change.about}: {change.says}" for change in row.changes)
            cells += [str(len(row.changes)), str(row.new_violations), changes]
        write.writerow([plain_cell(cell) for cell in cells])
    return text.getvalue().encode("utf-8-sig", "backslashreplace")


def shelf_json(shelf: Shelf) -> bytes:
    """Return the shelf for other programs; its keys are a contract."""
    rows = [{**asdict(row), "counts": dict(row.counts)} for row in shelf.rows]
    content = {
        "program": "permitgen",
        "version": __version__,
        "asked": shelf.asked,
        "note": shelf.note,
        "status": shelf.status,
        "outcomes": dict(shelf.outcomes),
        "projects": rows,
    }
    return (json.dumps(content, indent=2, ensure_ascii=False) + "\n").encode("utf-8", "backslashreplace")


def shelf_html(shelf: Shelf, way_back: str) -> bytes:
    """Return the page: totals, then a project a row with links to its file and its documents."""
    verdicts = verdicts_shown(shelf.rows)
    view = {
        "asked": shelf.asked,
        "note": shelf.note,
        "totals": totals_text(shelf),
        "verdicts": [verdict_word(verdict) for verdict in verdicts],
        "rows": [_html_row(row, verdicts, way_back) for row in shelf.rows],
    }
    return page("shelf.html", view, styles="shelf.css")


def _html_row(row: ShelfRow, verdicts: tuple[str, ...], way_back: str) -> dict[str, object]:
    documents = [(name, _link(f"{way_back}{row.package}/{name}")) for name in row.documents]
    return {
        "file": row.file,
        "link": _link(f"{way_back}{row.file}"),
        "project": row.project,
        "number": row.number,
        "edition": row.edition,
        "outcome": row.outcome,
        "counts": [str(row.count(verdict)) if row.counts else "" for verdict in verdicts],
        "said": [*row.gates, *row.messages],
        "changes": [asdict(change) for change in row.changes],
        "documents": documents,
    }


def _link(path: str) -> str:
    return quote(path, errors="surrogateescape")
