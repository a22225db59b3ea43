"""Equipment stands in no place that a local ordinance forbids."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, require
from permitgen.rules.quantities.forbidden_place import stands_in
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.subjects import LocalSubject


@rule(
    "local-place",
    title="Equipment stands in no place that a local ordinance forbids",
    provision="local_requirement",
    judges="local place",
)
def judge(subject: LocalSubject, given: Given) -> Judgement:
    """Judge whether equipment stands in a place that an ordinance forbids to its kind.

    Requires: a place that is none of those named.
    Why: a fire in a basement or below the stairs takes the way out.
    Applies to: equipment of the kind that the ordinance names; where words do not tell, it is not judged.
    Example that fails: a battery in a basement where basements are forbidden.
    Example that passes: the same battery in the garage.
    """
    item = subject.item
    parts = []
    for name in subject.requirement.not_in:
        answer = stands_in(item, given, name)
        where = f"{item.tag}: {'stands' if answer else 'does not stand'} {_at(name)}"
        parts.append(require(None if answer is None else not answer, where, missing=f"whether {item.tag} stands {_at(name)}"))
    names = " or ".join(_at(name) for name in subject.requirement.not_in)
    return all_of(f"{item.tag}: does not stand {names}", parts).under(given.provision(subject.requirement.id))


def _at(name: str) -> str:
    """Return the place with its preposition."""
    if name in ("indoors", "outdoors", "under stairs"):
        return name
    return f"{'on' if name in ('roof', 'outside wall', 'ground outdoors') else 'in'} {'an' if name[0] in 'ao' else 'a'} {name}"
