"""The manifest: digests of every input and output, the Document IDs of what each output prints, edition, program version."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from permitgen import __version__
from permitgen.package.document_ids import documents_in
from permitgen.package.program_digest import program_digest

if TYPE_CHECKING:
    from permitgen.package.listed import DrawnDocument
    from permitgen.package.opened_project import OpenedProject
    from permitgen.views.document_list import ListedDocument


def manifest_of(
    opened: OpenedProject,
    files: Mapping[str, bytes],
    missing: Sequence[tuple[str, str]] = (),
    drawn: Iterable[DrawnDocument] = (),
) -> bytes:
    """Return ``manifest.json`` for ``files`` (every output but the manifest itself), keys in a fixed order.

    ``missing`` are documents that could not be made, each with the reason; ``drawn`` are those that were, with what they were drawn from.
    """
    project = opened.loaded.system.project
    newest = project.revision
    documents = documents_in(opened, files)
    content = {
        "program": "permitgen",
        "version": __version__,
        "edition": opened.code.edition.book,
        "project": {"name": project.name, "number": project.number, "revision": newest.number if newest else None},
        "fingerprint": opened.fingerprint,
        "inputs": inputs_of(opened),
        "outputs": [_output(name, content, documents) for name, content in sorted(files.items())],
        "documents": [_document(each) for each in documents],
        "missing": [{"document": document, "why": why} for document, why in missing],
        "drawn_by": program_digest(),
        "drawn": [{"name": each.name, "from": each.drawn_from, "files": list(each.files)} for each in drawn],
    }
    return (json.dumps(content, indent=2, ensure_ascii=False) + "\n").encode()


def inputs_of(opened: OpenedProject) -> list[dict[str, object]]:
    """Return name, size and digest of every input, as the manifest lists them."""
    return [file_entry(name, content) for name, content in sorted(opened.all_inputs.items())]


def _output(name: str, content: bytes, documents: Sequence[ListedDocument]) -> dict[str, object]:
    ids = list(dict.fromkeys(each.document_id for each in documents if name in each.files))
    return file_entry(name, content) | ({"document_ids": ids} if ids else {})


def _document(each: ListedDocument) -> dict[str, object]:
    words = {"document_id": each.document_id, "kind": each.kind, "name": each.name, "place": each.place, "tag": each.tag}
    return {name: said for name, said in words.items() if said}


def file_entry(name: str, content: bytes) -> dict[str, object]:
    """Return name, size and digest of a file, as every manifest lists it."""
    return {"path": name, "bytes": len(content), "sha256": hashlib.sha256(content).hexdigest()}
