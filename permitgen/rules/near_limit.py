"""Which stated values stand so near their limit that a slip in reading them would turn the verdict."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Verdict
from permitgen.values.origin import ProjectLine

if TYPE_CHECKING:
    from permitgen.rules.judgement import Judgement
    from permitgen.values.value import Value

NEAR_PERCENT = 2.0
# Ratings are chosen to meet (200 A behind 200 A); a length is measured, and one that just meets its limit may be a rounded one.
_MEASURED = ("ft", "in")


def near_limit(judgement: Judgement) -> tuple[tuple[ProjectLine, Value], ...]:
    """Return each stated value within 2 percent of the number it is compared with, passing or not, with its place.

    Only values that are compared as they stand in the file: of a computed one it cannot be told which fact to look at.
    The 2 percent are a choice of this program (common practice, no published source).
    """
    found: dict[str, tuple[ProjectLine, Value]] = {}
    for part in judgement.nested():
        if part.verdict in (Verdict.PASSES, Verdict.VIOLATED, Verdict.CAUTION):
            for place, value in _near(part):
                found.setdefault(place.path, (place, value))
    return tuple(found.values())


def _near(part: Judgement) -> Iterator[tuple[ProjectLine, Value]]:
    computed, limit = part.computed, part.limit
    if computed is None or limit is None or limit.number == 0:
        return
    apart = abs(computed.number - limit.number) / abs(limit.number)
    meets = apart <= 1e-9
    if apart > NEAR_PERCENT / 100 + 1e-9 or (meets and limit.unit not in _MEASURED):
        return
    for value in (computed, limit):
        if isinstance(value.origin, ProjectLine):
            yield value.origin, value
