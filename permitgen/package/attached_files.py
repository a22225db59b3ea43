"""Attached documents: each is a PDF inside the project folder that can be appended as it is."""

from __future__ import annotations

import io
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.documents.pdf_of_others import BROKEN, silence_the_library
from permitgen.reading.problems import Problem, ProblemsError
from permitgen.reading.referenced_file import ReferencedFileError, content_inside
from permitgen.reading.regular_file import size_text

if TYPE_CHECKING:
    from permitgen.project.load import LoadedProject


# Of all attachments together. A permit desk takes less; more pages than these would also take minutes to append.
MOST_BYTES = 100_000_000
MOST_PAGES = 2_000
PHOTOS = (".jpg", ".jpeg", ".png")


@dataclass(frozen=True, slots=True)
class AttachedFile:
    """One attached PDF or photo: its title in the index, its path in the project folder, its bytes, its number in the file, its kind."""

    title: str
    file: str
    data: bytes
    index: int = 0
    kind: str = ""

    @property
    def is_photo(self) -> bool:
        """Whether it is a photo, which stands on the sheet of site photos and not behind the plan set."""
        return self.file.lower().endswith(PHOTOS)


def nobody_listens(_what: str) -> None:
    """Say nothing: where no terminal waits, nobody is told what is being done."""


def attached_files(loaded: LoadedProject) -> tuple[AttachedFile, ...]:
    """Return the attachments that the project names, not yet looked into: their bytes are part of the fingerprint.

    Raises:
        ProblemsError: a file is missing, is no plain file, or all together are larger than ``MOST_BYTES``.
    """
    found: list[AttachedFile] = []
    problems: list[Problem] = []
    left = MOST_BYTES
    for index, attachment in enumerate(loaded.system.attachments):
        try:
            data = content_inside(loaded.folder, attachment.file, MOST_BYTES)
        except ReferencedFileError as error:
            problems.append(_problem(loaded, index, str(error)))
            continue
        left -= len(data)
        if left < 0:
            problems.append(
                _problem(loaded, index, f"all attachments together are larger than {size_text(MOST_BYTES)}, the most that is read")
            )
            break
        found.append(AttachedFile(attachment.title, attachment.file, data, index, attachment.kind))
    if problems:
        raise ProblemsError(problems)
    return tuple(found)


def page_counts(loaded: LoadedProject, attached: Sequence[AttachedFile], tell: Callable[[str], None] = nobody_listens) -> tuple[int, ...]:
    """Return the number of pages of each attachment, each appended once to see that it can be.

    Long ones take seconds: ``tell`` is told which one is being read.

    Raises:
        ProblemsError: one is not a PDF, is encrypted or signed (appending would break the signature), or all have more pages than
            ``MOST_PAGES``.
    """
    counts: list[int] = []
    problems: list[Problem] = []
    for index, file in enumerate(attached):
        tell(f"Reading attachment {index + 1} of {len(attached)}, {file.file}")
        try:
            counts.append(_page_count(file.data, MOST_PAGES - sum(counts)))
        except _NotAppendableError as error:
            problems.append(_problem(loaded, file.index, f'"{file.file}" {error}'))
    if problems:
        raise ProblemsError(problems)
    return tuple(counts)


def _problem(loaded: LoadedProject, index: int, message: str) -> Problem:
    return loaded.file.problem(("attachments", index, "file"), message)


class _NotAppendableError(ValueError):
    """Why a file cannot be appended, worded to follow its name."""


def _page_count(data: bytes, most: int = MOST_PAGES) -> int:
    """Return the number of pages of a PDF that can be appended; it is appended once to see that it can."""
    from pypdf.errors import DependencyError, PyPdfError

    silence_the_library()
    try:
        return _pages_appended(data, most)
    except _NotAppendableError:
        raise
    except DependencyError as error:  # a cipher for which no library is installed
        raise _NotAppendableError(_ENCRYPTED) from error
    except (PyPdfError, *BROKEN) as error:
        raise _NotAppendableError("is not a PDF that can be read") from error


_ENCRYPTED = "is encrypted; attach a copy without a password"


def _pages_appended(data: bytes, most: int) -> int:
    from pypdf import PdfReader, PdfWriter

    reader = PdfReader(io.BytesIO(data))
    if reader.is_encrypted:
        raise _NotAppendableError(_ENCRYPTED)
    # What the file says of itself comes first: to count the pages one by one already takes long where there are many.
    if reader.get_num_pages() > most or len(reader.pages) > most:
        raise _NotAppendableError(f"has too many pages; all attachments together have at most {MOST_PAGES}")
    fields = reader.get_fields() or {}
    if any(field.get("/FT") == "/Sig" and field.get("/V") for field in fields.values()):
        raise _NotAppendableError("is signed, and appending would break the signature; hand it in beside the plan set")
    if not reader.pages:
        raise _NotAppendableError("has no pages")
    trial = PdfWriter()
    trial.append(io.BytesIO(data), import_outline=False)
    trial.write(io.BytesIO())
    return len(trial.pages)
