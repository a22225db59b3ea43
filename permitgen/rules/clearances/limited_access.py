"""The opening into an attic or a crawl space with equipment is large enough."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Verdict, all_of, does_not_apply, not_judged, require_at_least
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.place import Place

_SPACES = ("crawl", "attic")


@rule(
    "limited-access",
    title="The opening into an attic or a crawl space with equipment is large enough",
    provision="limited_access",
    judges="equipment",
)
def judge(item: Equipment, given: Given) -> Judgement:
    """Judge the opening through which somebody reaches equipment in a space of limited access.

    Requires: an opening of at least 22 in by 30 in, whichever way it lies.
    Why: somebody hurt there must be brought out through it.
    Applies to: what has working space and stands in an attic or a crawl space; inverters as advice, as for their working space. The text
        names crawl spaces; an attic behind a hatch is read like one.
    Example that fails: a disconnect in an attic behind a hatch of 18 in by 30 in.
    Example that passes: the same behind a hatch of 22 in by 30 in.
    """
    asked = item.holds_devices or item.needs_working_space
    place = item.place
    if not (asked or item.working_space_is_advised) or place is None or place.outdoors is True:
        return does_not_apply(f"{item.tag}: no space of limited access")
    # Where no kind of space is stated, the words that lead a stranger there name it.
    space = next((name for name in _SPACES if name in (place.space or place.description).casefold()), "")
    if not space:
        return does_not_apply(f"{item.tag}: not said to stand in an attic or a crawl space")
    words = f"{item.tag}: opening into the {'crawl space' if space == 'crawl' else space}"
    return all_of(words, _sides(item, place, words, given, Verdict.VIOLATED if asked else Verdict.CAUTION))


def _sides(item: Equipment, place: Place, words: str, given: Given, otherwise: Verdict) -> list[Judgement]:
    """Judge the shorter side and the longer one; one side alone that is too short for either is enough."""
    provision = given.provision("limited_access")
    width, length = place.fact("access_width"), place.fact("access_length")
    known = sorted((value for value in (width, length) if value is not None), key=lambda value: value.number)
    limits = (provision.value("smaller_in"), provision.value("larger_in"))
    parts = [
        require_at_least(f"{words} {value.length}, {limit.length} needed", computed=value, limit=limit, otherwise=otherwise)
        for value, limit in zip(known, limits, strict=False)
    ]
    if width is None:
        parts.append(not_judged(f"width of the opening into the attic or crawl space of {item.tag}"))
    if length is None:
        parts.append(not_judged(f"length of the opening into the attic or crawl space of {item.tag}"))
    return parts
