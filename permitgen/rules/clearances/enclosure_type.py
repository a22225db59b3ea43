"""Enclosures outdoors and in wet places are of a type that keeps water out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Verdict, does_not_apply, require
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.equipment import Equipment


@rule(
    "enclosure-type",
    title="Enclosures outdoors and in wet places are of a type that keeps water out",
    provision="enclosure_type",
    judges="equipment",
)
def judge(item: Equipment, given: Given) -> Judgement:
    """Judge the type number of an enclosure against its place.

    Requires: outdoors, and indoors in a wet place, one of the types that the code's table permits there, such as 3R.
    Why: water in an enclosure corrodes terminals and bridges live parts.
    Applies to: enclosures outdoors, and those indoors where the place is said to be damp or wet; in a damp place type 1 is a caution.
    Example that fails: type 1 panelboard on an outside wall.
    Example that passes: type 3R panelboard at the same place.
    """
    if not item.is_enclosure:
        return does_not_apply(f"{item.tag}: no enclosure of its own")
    suitable = given.provision("enclosure_type").words("outdoors")
    if item.enclosure_type in suitable:
        return require(fact=True, message=f"{item.tag}: type {item.enclosure_type} enclosure")
    place = given.need(item.place, f"place of {item.tag}")
    moisture = place.word("moisture")
    if not given.need(place.outdoors, f"whether {item.tag} is outdoors"):
        return _indoors(item, moisture, given) if moisture in ("damp", "wet") else does_not_apply(f"{item.tag}: indoors, a dry place")
    given.need(item.enclosure_type or None, f"enclosure type of {item.tag}")
    at = item.where.get("enclosure_type")
    places = (at,) if at is not None else ()
    return require(
        fact=False,
        message=f"{item.tag}: type {item.enclosure_type} enclosure outdoors; {', '.join(suitable)} may be used there",
        places=places,
    )


def _indoors(item: Equipment, moisture: str, given: Given) -> Judgement:
    """In a wet place an enclosure is weatherproof; in a damp one it keeps moisture from gathering inside, which type 1 does not."""
    provision = given.provision("panel_damp_or_wet")
    found = given.need(item.enclosure_type or None, f"enclosure type of {item.tag}")
    if moisture == "wet":
        return require(fact=False, message=f"{item.tag}: type {found} enclosure in a wet place").under(provision)
    message = f"{item.tag}: type {found} enclosure in a damp place"
    return require(found != "1", message, otherwise=Verdict.CAUTION).under(provision)
