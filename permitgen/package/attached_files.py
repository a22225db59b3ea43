"""Attached documents: each is a PDF inside the project folder that can be appended as it is."""

from __future__ import annotations

import io
import logging
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.reading.problems import Problem, ProblemsError
from permitgen.reading.referenced_file import ReferencedFileError, resolve_inside

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


# What the PDF library raises on files that are broken, beside its own errors: it follows what they say before it checks it.
_BROKEN = (ArithmeticError, AssertionError, AttributeError, LookupError, RecursionError, TypeError, ValueError)


def _page_count(data: bytes) -> int:
    """Return the number of pages of a PDF that can be appended; it is appended once to see that it can."""
    from pypdf.errors import DependencyError, PyPdfError

    _silence_the_library()
    try:
        return _pages_appended(data)
    except _NotAppendableError:
        raise
    except DependencyError as error:  # a cipher for which no library is installed
        raise _NotAppendableError(_ENCRYPTED) from error
    except (PyPdfError, *_BROKEN) as error:
        raise _NotAppendableError("is not a PDF that can be read") from error


_ENCRYPTED = "is encrypted; attach a copy without a password"


def _pages_appended(data: bytes) -> int:
    from pypdf import PdfReader, PdfWriter

    reader = PdfReader(io.BytesIO(data))
    if reader.is_encrypted:
        raise _NotAppendableError(_ENCRYPTED)
    fields = reader.get_fields() or {}
    if any(field.get("/FT") == "/Sig" and field.get("/V") for field in fields.values()):
        raise _NotAppendableError("is signed, and appending would break the signature; hand it in beside the plan set")
    if not reader.pages:
        raise _NotAppendableError("has no pages")
    trial = PdfWriter()
    trial.append(io.BytesIO(data), import_outline=False)
    trial.write(io.BytesIO())
    return len(trial.pages)


def _silence_the_library() -> None:
    """Keep the library from writing to standard error what it repairs in a file: it is no message for people."""
    logger = logging.getLogger("pypdf")
    if not logger.handlers:
        logger.addHandler(logging.NullHandler())
