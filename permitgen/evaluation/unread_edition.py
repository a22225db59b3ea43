"""An edition whose text was not read for this program: nothing passes under it, but a reader sees what the edition before it says.

Sizes are those of the edition before; its numbers stand in the finding, its verdict stays *not judged*.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.evaluation.sizing import Sizing, size_everything
from permitgen.rules.given import Given
from permitgen.rules.judgement import Judgement, Verdict

if TYPE_CHECKING:
    from permitgen.code.codebook import CodeBook
    from permitgen.system.system import System


def sized_by_last_read(system: System, code: CodeBook) -> tuple[Given, tuple[Sizing, ...]]:
    """Return what rules are given once every open choice is made by ``code``, or by the last edition that was read; and the choices."""
    given, sizings = size_everything(Given(system, code.last_read))
    if code.last_read is code:
        return given, sizings
    by = f"by {code.last_read.edition.book}; {code.edition.book} was not read"
    return Given(given.system, code), tuple(replace(sizing, reason=f"{sizing.reason} ({by})") for sizing in sizings)


def judged_as_last_read(unread: Judgement, before: Judgement, book: CodeBook) -> Judgement:
    """Return ``unread`` with the numbers and the sentence of the same rule under ``book``, the edition before.

    What does not apply there is said not to apply, with the book that says so: it asks for nothing and passes nothing.
    """
    under = book.edition.book
    if before.verdict is Verdict.DOES_NOT_APPLY:
        because = f"under {under}: {before.message}"
        return replace(unread, verdict=Verdict.DOES_NOT_APPLY, message=because, because=because, missing=())
    section = f"{under} {before.section}" if before.section else under
    return replace(
        before,
        verdict=Verdict.NOT_JUDGED,
        message=f"{unread.message}; {section}: {before.message} ({before.verdict})",
        missing=(*unread.missing, *before.missing),
        remedies=(),
        provision=unread.provision,
        section=unread.section,
        doubt=unread.doubt,
    )
