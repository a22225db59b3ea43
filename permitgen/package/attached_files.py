"""Attached documents: each is a PDF inside the project folder that can be appended as it is."""

from __future__ import annotations

import io
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.project.problems import Problem, ProblemsError
from permitgen.project.referenced_file import ReferencedFileError, resolve_inside

if TYPE_CHECKING:
    from permitgen.project.load import LoadedProject


@dataclass(frozen=True, slots=True)
class AttachedFile:
    """One attached PDF: its title in the index, its path in the project folder, its bytes and number of pages."""

    title: str
    file: str
    data: bytes
    page_count: int


def attached_files(loaded: LoadedProject) -> tuple[AttachedFile, ...]:
    """Return the attachments that the project names.

    Raises:
        ProblemsError: a file is missing, is not a PDF, is encrypted, or is signed (appending would break the signature).
    """
    found: list[AttachedFile] = []
    problems: list[Problem] = []
    for index, attachment in enumerate(loaded.system.attachments):
        try:
            data = resolve_inside(loaded.folder, attachment.file).read_bytes()
            found.append(AttachedFile(attachment.title, attachment.file, data, _page_count(data)))
        except (ReferencedFileError, _NotAppendableError) as error:
            text = str(error) if isinstance(error, ReferencedFileError) else f'"{attachment.file}" {error}'
            problems.append(loaded.file.problem(("attachments", index, "file"), text))
    if problems:
        raise ProblemsError(problems)
    return tuple(found)


class _NotAppendableError(ValueError):
    """Why a file cannot be appended, worded to follow its name."""


def _page_count(data: bytes) -> int:
    from pypdf import PdfReader
    from pypdf.errors import PyPdfError

    try:
        reader = PdfReader(io.BytesIO(data))
        if reader.is_encrypted:
            raise _NotAppendableError("is encrypted; attach a copy without a password")
        count = len(reader.pages)
        fields = reader.get_fields() or {}
    except PyPdfError as error:
        raise _NotAppendableError("is not a PDF that can be read") from error
    if any(field.get("/FT") == "/Sig" and field.get("/V") for field in fields.values()):
        raise _NotAppendableError("is signed, and appending would break the signature; hand it in beside the plan set")
    if count == 0:
        raise _NotAppendableError("has no pages")
    return count
