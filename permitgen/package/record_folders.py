"""The record as three folders for three readers, each with a manifest of its own: whoever has one of them can verify it by itself.

``record/`` is for passers-by and the fire service and goes on the web; ``record_owner/`` and ``record_professional/`` go on a stick. The
last holds the whole project, every revision of it, the documents and the photos.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from typing import TYPE_CHECKING

from permitgen import __version__
from permitgen.documents.record_folder import FOLDER, OWNER_FOLDER, PROFESSIONAL_FOLDER, record_files
from permitgen.package.listed import MANIFEST
from permitgen.package.manifest import file_entry
from permitgen.reading.referenced_file import ReferencedFileError, content_inside
from permitgen.reading.shared_files import inside_name

if TYPE_CHECKING:
    from permitgen.package.opened_project import OpenedProject
    from permitgen.views.record import Record

FOLDERS = (FOLDER, OWNER_FOLDER, PROFESSIONAL_FOLDER)
_LARGEST_PHOTO = 30_000_000
_PAPERS = (".pdf", ".docx", ".xlsx")


def record_folders(opened: OpenedProject, record: Record, documents: Mapping[str, bytes]) -> dict[str, bytes]:
    """Return every file of the three folders; ``documents`` are those of the package that were drawn before."""
    files = record_files(record, project_folder=opened.loaded.folder)
    photos = photos_of(opened)
    for folder in (OWNER_FOLDER, PROFESSIONAL_FOLDER):
        files |= {f"{folder}/{name}": content for name, content in photos.items()}
    files |= {f"{PROFESSIONAL_FOLDER}/documents/{name}": content for name, content in documents.items() if name.endswith(_PAPERS)}
    files |= {f"{PROFESSIONAL_FOLDER}/project/{inside_name(name)}": content for name, content in opened.all_inputs.items()}
    return files | {f"{folder}/{MANIFEST}": _manifest(record, folder, files) for folder in FOLDERS}


def photos_of(opened: OpenedProject) -> dict[str, bytes]:
    """Return the photos from the field by their paths in the project; one that is gone, was changed or was withdrawn is left out."""
    built = opened.loaded.system.built
    withdrawn = {each.photo for each in built.withdrawn} if built is not None else set()
    found: dict[str, bytes] = {}
    for photo in opened.field.of_checklist.photos:
        try:
            content = content_inside(opened.loaded.folder, photo.path, _LARGEST_PHOTO)
        except ReferencedFileError:
            continue  # its name stands in the record, and there is nothing to show
        if photo.file not in withdrawn and hashlib.sha256(content).hexdigest() == photo.sha256:
            found[photo.path] = content
    return found


def _manifest(record: Record, folder: str, files: Mapping[str, bytes]) -> bytes:
    """Return the manifest of one folder. Nothing in it tells who lives there: that of the public folder is public."""
    own = record.public if folder == FOLDER else record.private
    identity = record.public.identity
    outputs = [
        file_entry(name.removeprefix(f"{folder}/"), content) for name, content in sorted(files.items()) if name.startswith(f"{folder}/")
    ]
    content = {
        "program": "permitgen",
        "version": __version__,
        "folder": folder,
        "record": {"id": identity.record_id, "revision": identity.revision, "document_id": own.document_id},
        "fingerprint": hashlib.sha256(json.dumps(outputs).encode()).hexdigest(),  # of the folder: that of the inputs is in the package's
        "outputs": outputs,
    }
    return (json.dumps(content, indent=2, ensure_ascii=False) + "\n").encode()
