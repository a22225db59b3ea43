"""Where a finding that is not met would be mended: the line of what was compared, what would have to stand there, whose demand it is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Verdict, at_least, at_most
from permitgen.values.origin import ProjectLine
from permitgen.views.wording import pair_text

if TYPE_CHECKING:
    from collections.abc import Iterator

    from permitgen.rules.judgement import Judgement
    from permitgen.values.value import Value

# The last key of what somebody plans and can plan otherwise; what stands at other keys is as it is (a distance, a rating, a listing).
CHOICES = frozenset(
    {
        "size", "equipment_ground", "neutral", "material", "insulation", "sets", "trade_size", "kind", "runs", "from", "to", "rating",
        "supply_overcurrent", "neutral_bond", "conductor", "bonding_jumper", "lands_at", "modules", "setting", "spaces",
    }
)  # fmt: skip
_COUNTED_CHOICES = ("branches", "strings")
_WORDS = {"≤": ("at most", "at least"), "≥": ("at least", "at most")}
_OPEN = (Verdict.VIOLATED, Verdict.CAUTION)


def is_choice(path: str) -> bool:
    """Whether a key of the project file holds something planned, rather than a fact about what there is."""
    steps = path.split(".")
    return steps[0] != "catalog" and (steps[-1] in CHOICES or (len(steps) > 1 and steps[-2] in _COUNTED_CHOICES))


def compared_lines(judgement: Judgement) -> tuple[ProjectLine, ...]:
    """Return the lines at which a judgement would be mended: those of choices that were compared, and of ratings that are a limit.

    A fact that was compared (a distance, a nameplate current) is none of them: it is as it is, and another thing or place changes it.
    """
    found: dict[tuple[str, str], ProjectLine] = {}
    for side in _direct(judgement):
        found.setdefault((side.at.file, side.at.path), side.at)
    for at in judgement.places:
        found.setdefault((at.file, at.path), at)
    chosen = tuple(at for at in found.values() if is_choice(at.path))
    return chosen or tuple(found.values())


def needed(judgement: Judgement) -> str:
    """Return what would have to stand at the first choice, or rating, compared: ``at most 20 A``; empty without one."""
    sides = sorted(_direct(judgement), key=lambda side: not is_choice(side.at.path))
    if not sides:
        return ""
    computed, limit = pair_text(sides[0].computed, sides[0].limit)
    of_computed, of_limit = _WORDS[sides[0].relation]
    return f"{of_computed} {limit}" if sides[0].is_computed else f"{of_limit} {computed}"


def demanded(judgement: Judgement) -> str:
    """Return what tells one computed demand from others (its name and number), empty where the demand is written in the file."""
    value = {"≤": judgement.computed, "≥": judgement.limit}.get(judgement.relation)
    if value is None or judgement.verdict not in _OPEN or isinstance(value.origin, ProjectLine) or not value.title:
        return ""
    return f"{value.title} {value.number!r} {value.unit}"


@dataclass(frozen=True, slots=True)
class _Side:
    """One side of a comparison that is not met, written in the file at ``at``."""

    computed: Value
    limit: Value
    relation: str
    is_computed: bool
    at: ProjectLine


def _direct(judgement: Judgement) -> Iterator[_Side]:
    """Yield the choices and the exceeded ratings that stand in the file as they are compared, in every comparison that is not met."""
    for part in judgement.nested():
        computed, limit = part.computed, part.limit
        if part.verdict not in _OPEN or computed is None or limit is None or _meets(part.relation, computed, limit):
            continue
        for value, is_computed in ((computed, True), (limit, False)):
            at = value.origin
            # A rating that is exceeded belongs to a thing that another can stand for; the catalog's word on others is no line to edit.
            is_rating = not is_computed and part.relation == "≤"
            if isinstance(at, ProjectLine) and (is_choice(at.path) or (is_rating and not at.path.startswith("catalog."))):
                yield _Side(computed, limit, part.relation, is_computed, at)


def _meets(relation: str, computed: Value, limit: Value) -> bool:
    """Whether a comparison holds, or cannot be told by size."""
    return {"≤": at_most, "≥": at_least}[relation](computed, limit) if relation in _WORDS else True
