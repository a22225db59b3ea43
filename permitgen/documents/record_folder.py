"""The record as a folder of static files for any web host or a memory stick, and the files that let it move.

No file of it asks another host for anything. The placard's code ends in the revision it was printed for; a small page under
that number leads to the record and, where the placard is old, makes the record say so.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

from permitgen.documents.html_page import page
from permitgen.documents.record_html import FIRST_PAGE, private_record_pages, record_pages
from permitgen.documents.record_json import SCHEMA_NAME, private_record_json, record_json, schema_bytes
from permitgen.documents.short_forms_html import FORMS_NAME, short_forms_html

if TYPE_CHECKING:
    from permitgen.views.record import PublicRecord, Record

FOLDER, OWNER_FOLDER, PROFESSIONAL_FOLDER = "record", "record_owner", "record_professional"


def record_files(record: Record, project_folder: Path | None = None) -> dict[str, bytes]:
    """Return every page of the public record, of the owner's and of the electrician's, by path."""
    public = record.public
    beside = _last_step(public.identity.address)
    linked = {"record.json": record_json(public), SCHEMA_NAME: schema_bytes(), "README.txt": readme(public)}
    if public.keeping.sent_as:
        linked[FORMS_NAME] = short_forms_html(public, public.keeping.sent_as, project_folder)
    pages = record_pages(public, project_folder, beside=f"{beside}/" if beside else "")
    first = pages.pop(FIRST_PAGE)
    linked |= pages
    files = {f"{FOLDER}/{name}": content for name, content in linked.items()} | {f"{FOLDER}/{FIRST_PAGE}": first}
    if beside:
        files |= {f"{FOLDER}/{beside}/{name}": content for name, content in linked.items()}
        files[f"{FOLDER}/{beside}/{FIRST_PAGE}"] = redirect_page(f"../{FIRST_PAGE}", project_folder)
    for folder, text, is_owner in ((OWNER_FOLDER, _OWNER_README, True), (PROFESSIONAL_FOLDER, _PROFESSIONAL_README, False)):
        own = private_record_pages(record.private, project_folder, is_owner=is_owner) | {
            "record.json": private_record_json(record.private),
            SCHEMA_NAME: schema_bytes(),
            "README.txt": text.encode("utf-8"),
            FORMS_NAME: short_forms_html(record.private.public, record.private.key, project_folder),
        }
        files |= {f"{folder}/{name}": content for name, content in own.items()}
    for row in public.revisions:
        target = FIRST_PAGE if row.number == public.identity.revision else f"{FIRST_PAGE}#r{row.number}"
        files |= _revision_pages(f"{row.number}", target, beside, project_folder)
    return files


_STEP = re.compile(r"[A-Za-z0-9_-][A-Za-z0-9._-]*")


def _last_step(address: str) -> str:
    """Return the last step of the record's address, which is the name of its folder on the host; empty where it has none.

    A host may serve the folder without a slash at its end: a link then begins one folder higher. What the page links to therefore lies
    a second time in a folder of this name, so that ``name/record.json`` is found from both.
    """
    parts = urlsplit(address)
    step = parts.path.rpartition("/")[2]
    return step if not parts.query and not parts.fragment and _STEP.fullmatch(step) else ""


def _revision_pages(number: str, target: str, beside: str, project_folder: Path | None) -> dict[str, bytes]:
    """Return the page of a placard's revision, which leads to the record with a slash at the end of its address and without one."""
    if not beside:
        return {f"{FOLDER}/{number}/index.html": redirect_page(f"../{target}", project_folder)}
    hop = f"r{number}.html"
    return {
        f"{FOLDER}/{number}/index.html": redirect_page(f"../{beside}/{hop}", project_folder),
        f"{FOLDER}/{hop}": redirect_page(target, project_folder),
        f"{FOLDER}/{beside}/{hop}": redirect_page(f"../{target}", project_folder),
    }


def redirect_page(address: str, project_folder: Path | None = None) -> bytes:
    """Return a page that leads to ``address`` at once, for hosts that serve files only: put it where the record was.

    Raises:
        ValueError: not a web address, nor a place within the record.
    """
    lowered = address.lower()
    if not lowered.startswith(("https://", "http://", "../", "index.html")) or any(c in address for c in "\"'<>\\ \n\r\t"):
        raise ValueError(f'"{address}" is not an address that a record can move to; write it with https:// in front')
    return page("redirect.html", {"address": address}, styles="redirect.css", project_folder=project_folder)


def readme(record: PublicRecord) -> bytes:
    """Return the plain text that says what the folder is, how to host it and how to move it."""
    identity = record.identity
    text = _README.format(
        record_id=identity.record_id or "not given",
        permit=identity.permit_number or "not given",
        jurisdiction=identity.jurisdiction,
        revision=identity.revision,
        document_id=record.document_id,
        address=identity.address or "not given",
    )
    return text.encode("utf-8")


_README = """As-built record of a home power installation
=============================================

Permit {permit}, {jurisdiction}. Record {record_id}, revision {revision}.
Document ID of the record {document_id}. The record lists the Document IDs of labels, plates and
sheets that are good today: what carries one of them is current, whatever revision it names.

Open index.html in any browser; it needs no network, no script and no other file. It leads to
electrician.html (drawings, circuits, torque, tests) and calculations.html, where these are public.
record.json holds the same facts. This is JSON text (RFC 8259): any programming language
reads it. record.schema.json says what each name in it means (JSON Schema, 2020-12).

Keeping it
  Copy the whole folder to any web server that serves files, or keep it on a memory stick
  in the panel door. Keep it in at least three places: on the web, on paper, with the owner.
  Serve it under the address on the placard: {address}
  The folders named by a number belong to placards of that revision; keep them, and the folder
  named like the end of the address: it serves hosts that leave out the slash behind a folder.
  Do not let the server list its folders. It needs no cookies, counters or scripts.

Moving it
  Use an address under a name that the contractor or the owner holds, so that it can move.
  When the record moves, put a page at the old place that leads to the new one; a server
  that can answer "301 Moved Permanently" does the same.
  When the old address is lost, print a new placard; the record id above stays the same.

What is not here
  Names, telephone numbers, serial numbers and network facts are in record_owner and
  record_professional, which the owner and the contractor keep. Never put these on a public
  address.

Is it whole
  manifest.json has the SHA-256 digest of every file; permitgen verify reads it.
"""

_OWNER_README = """Owner's record
==============

It holds names, telephone numbers, serial numbers, settings and photos.
Keep it off every public address, on a memory stick or encrypted, and give it to the
next owner when the house is sold.
record.json is JSON text (RFC 8259); record.schema.json describes it. manifest.json has a
digest of every file: permitgen verify tells what was changed since.
"""

_PROFESSIONAL_README = """Record for the electrician
==========================

It holds everything: names, settings, who measured what, torque and tests, photos, the
documents, and under project/ the project file with every revision and all that it names.
Whoever services or changes this installation begins with project/.
Keep it off every public address. Copy this folder to a memory stick as it is.
record.json is JSON text (RFC 8259); record.schema.json describes it. manifest.json has a
digest of every file: permitgen verify tells what was changed since.
"""
