"""The contactor or relay that islands the house carries what the device ahead of it lets through."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, require_at_least
from permitgen.rules.quantities.busbar_feeds import protecting_rating
from permitgen.rules.rule import rule
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.feeds import feeds_into

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.islanding_switch import IslandingSwitch
    from permitgen.values.value import Value


@rule(
    "contactor-rating",
    title="The contactor or relay that islands the house carries what the device ahead of it lets through",
    provision="microgrid_interconnect_device",
    judges="islanding switch",
)
def judge(switch: IslandingSwitch, given: Given) -> Judgement:
    """Judge the rated current of the contactor, or of the relay inside an inverter.

    Requires: its rating ≥ the overcurrent device between it and the utility.
    Why: a contactor that welds shut does not island.
    Applies to: microgrid interconnect devices, and inverters that hold the function inside.
    Example that fails: a 100 A contactor behind a 200 A main.
    Example that passes: a 200 A contactor there.
    """
    name = f"rating of the {switch.word} of {switch.tag}"
    rating = given.need(switch.rating_a, name).named("I_K", name)
    ahead = _ahead(given, switch)
    message = f"{switch.tag}: {switch.word} of {rating.number:g} A behind a breaker or fuse of {ahead.number:g} A"
    return require_at_least(message, computed=rating, limit=ahead)


def _ahead(given: Given, switch: IslandingSwitch) -> Value:
    system = given.system
    if switch.tag in system.busbars:
        return protecting_rating(given, system.busbars[switch.tag])
    own = tuple(link for link in system.graph.at_node[switch.line_node] if switch.island_node in (link.first, link.second))
    feed = feeds_into(system, switch.line_node, OperatingMode.WITH_UTILITY, own).from_utility
    rating = feed.device.rating_a if feed is not None else None
    return given.need(rating, f"overcurrent device between the utility and {switch.tag}").named("OCPD")
