"""At most six rapid shutdown switches at one service, in one enclosure or a group."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, not_judged, require, require_at_most
from permitgen.rules.parts import parts_of
from permitgen.rules.quantities.grouped_places import location_of
from permitgen.rules.rule import rule
from permitgen.system.walks.rapid_shutdown import initiators
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.subjects import Whole
    from permitgen.system.walks.rapid_shutdown import Initiator


@rule(
    "rapid-shutdown-grouping",
    title="At most six rapid shutdown switches at one service, in one enclosure or a group",
    provision="rapid_shutdown_initiator",
    judges="system",
)
def judge(subject: Whole, given: Given) -> Judgement:  # noqa: ARG001 - the whole system is the subject
    """Judge how many initiators there are and whether they stand together.

    Requires: not more than six switches or sets of breakers, in one enclosure or grouped.
    Why: nobody looks for a second switch once the first is off.
    Applies to: installations with several initiators; one alone is always grouped.
    Example that fails: seven switches, or two on different buildings.
    Example that passes: two switches side by side.
    """
    found = initiators(given.system)
    if not found:
        return does_not_apply("there is no rapid shutdown switch")
    count = Value(float(len(found)), "count", FromSystem("rapid shutdown switches in the file"), "n", "rapid shutdown switches")
    limit = given.provision("rapid_shutdown_initiator").value("largest_group_count").named("n_max")
    parts = [
        require_at_most(
            f"{count.figure} rapid shutdown switch{'es' if len(found) > 1 else ''}, {limit.figure} permitted",
            computed=count,
            limit=limit,
        )
    ]
    if len(found) > 1:
        parts += parts_of(lambda: _together(found, given))
    return all_of(f"{count.figure} rapid shutdown switches, together", parts)


def _together(found: tuple[Initiator, ...], given: Given) -> Judgement:
    names = ", ".join(initiator.item.tag for initiator in found)
    if any(initiator.item.place is None or not initiator.item.place.space for initiator in found):
        return not_judged(f"where {names} stand")
    where = {location_of(given, initiator.item) for initiator in found}
    return require(len(where) == 1, f"{names} are {'together' if len(where) == 1 else 'in different places'}")
