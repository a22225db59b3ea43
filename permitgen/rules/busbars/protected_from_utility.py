"""A busbar is not smaller than the device that protects it from the utility's side, whichever method the sources are judged by."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, require_at_most
from permitgen.rules.quantities.busbar_feeds import protecting_rating

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.busbar import Busbar


def protected_from_utility(busbar: Busbar, given: Given) -> Judgement:
    """Judge the protecting device against the rating of the busbar.

    Raises:
        MissingFactError: there is no such device, or either rating is not stated.
    """
    rating = given.need(busbar.rating_a, f"busbar rating of {busbar.tag}").named("B")
    primary = protecting_rating(given, busbar)
    message = f"busbar of {rating.figure} A behind a breaker or fuse of {primary.figure} A"
    return require_at_most(message, computed=primary, limit=rating)
