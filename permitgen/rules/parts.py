"""Each part of a requirement is judged by itself: a fact that one part lacks leaves the others their verdict."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TypeVar

from permitgen.code.errors import NotInTableError, TableNotInForceError
from permitgen.rules.judgement import Judgement, Verdict, not_judged
from permitgen.values.missing_fact import MissingFactError

T = TypeVar("T")

Part = Callable[[], Judgement | Iterable[Judgement] | None]


def parts_of(*parts: Part) -> list[Judgement]:
    """Return the judgements of the parts in order, those that miss a fact as *not judged*.

    A part returns one judgement, several, or None where it has nothing to judge. A table that the edition does not have, or that
    was not read for this program, is no fact of a part: it goes on to the runner.
    """
    return [judgement for part in parts for judgement in _guarded(part)]


def parts_for(subjects: Iterable[T], judge: Callable[[T], Judgement | Iterable[Judgement] | None]) -> list[Judgement]:
    """Return the judgements of one part for each subject, as ``parts_of`` does."""
    return [judgement for subject in subjects for judgement in _guarded(lambda subject=subject: judge(subject))]  # type: ignore[misc]


def _guarded(part: Part) -> list[Judgement]:
    try:
        found = part()
        if found is None:
            return []
        return [found] if isinstance(found, Judgement) else list(found)
    except MissingFactError as missing:
        return [not_judged(*missing.names)]
    except TableNotInForceError:
        raise
    except NotInTableError as blank:
        return [not_in_table(blank)]


def not_in_table(blank: NotInTableError) -> Judgement:
    """Return *not judged* because a table of the code has no value there."""
    return Judgement(Verdict.NOT_JUDGED, f"not checked: {blank}", missing=(str(blank),))
