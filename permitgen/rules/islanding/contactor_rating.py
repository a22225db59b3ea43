"""The contactor or relay that islands the house carries what the device ahead of it lets through."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, require_at_least
from permitgen.rules.parts import parts_of
from permitgen.rules.quantities.busbar_feeds import protecting_rating
from permitgen.rules.quantities.feeding import held_by_port
from permitgen.rules.rule import rule
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.feeds import feeds_into
from permitgen.system.walks.source_ways import sources_through
from permitgen.values.equation import one_or_sum_of, sum_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.rules.given import Given
    from permitgen.system.islanding_switch import IslandingSwitch
    from permitgen.system.link import Link
    from permitgen.system.power_source import PowerSource
    from permitgen.system.walks.feeds import Feeds
    from permitgen.values.value import Value


@rule(
    "contactor-rating",
    title="The contactor or relay that islands the house carries what the device ahead of it lets through",
    provision="microgrid_interconnect_device",
    judges="islanding switch",
)
def judge(switch: IslandingSwitch, given: Given) -> Judgement:
    """Judge the rated current of the contactor, or of the relay inside an inverter.

    Requires: its rating ≥ the overcurrent device between it and the utility with the sources that join behind that device, and ≥ what
        the sources of the house give back together.
    Why: a contactor that welds shut does not island.
    Applies to: microgrid interconnect devices, and inverters that hold the function inside.
    Example that fails: a 100 A contactor behind a 200 A main.
    Example that passes: a 200 A contactor there.
    """
    name = f"rating of the {switch.word} of {switch.tag}"
    rating = given.need(switch.rating_a, name).named("I_K", name)
    parts = parts_of(lambda: _toward_loads(switch, given, rating), lambda: _toward_utility(switch, given, rating))
    return all_of(f"{switch.tag}: {switch.word} of {rating.figure} A carries what passes it in either direction", parts)


def _toward_loads(switch: IslandingSwitch, given: Given, rating: Value) -> Judgement:
    """What the utility's device lets through, and what sources that join behind that device add."""
    ahead = _ahead(given, switch)
    joined = _sources_joining(given, switch)
    total = sum_of([ahead, *joined], symbol="I_in", title=f"current toward the loads at {switch.tag}") if joined else ahead
    beside = f" and {len(joined)} sources that join behind it, {total.number:.4g} A together" if joined else ""
    message = f"{switch.tag}: {switch.word} of {rating.figure} A behind a breaker or fuse of {ahead.figure} A{beside}"
    return require_at_least(message, computed=rating, limit=total)


def _toward_utility(switch: IslandingSwitch, given: Given, rating: Value) -> Judgement | None:
    """What the sources of the house can give back together."""
    sources = [source for source in _feeds(given, switch, switch.island_node).sources if source.kind != "generator"]
    for link in _own_links(given, switch):
        sources = list(sources_through(given.system, link, sources))
    outputs = _outputs(given, sources)
    if not outputs:
        return None
    together = one_or_sum_of(outputs, symbol="ΣI", title=f"sources that feed back through {switch.tag}")
    total = held_by_port(given, switch.line_node, together, f"the {switch.word} of {switch.tag}")
    message = f"{switch.tag}: {switch.word} of {rating.figure} A, sources give back {total.number:.4g} A"
    return require_at_least(message, computed=rating, limit=total)


def _feeds(given: Given, switch: IslandingSwitch, node: str) -> Feeds:
    """Return what feeds a node of the switch while the switch itself is taken away."""
    return feeds_into(given.system, node, OperatingMode.WITH_UTILITY, _own_links(given, switch))


def _own_links(given: Given, switch: IslandingSwitch) -> tuple[Link, ...]:
    return tuple(link for link in given.system.graph.at_node.get(switch.island_node, ()) if switch.line_node in (link.first, link.second))


def _sources_joining(given: Given, switch: IslandingSwitch) -> list[Value]:
    """Return the outputs of the sources that reach the line side otherwise than through the utility's device."""
    feeds = _feeds(given, switch, switch.line_node)
    if feeds.from_utility is None:
        return []
    beside = [source for feed in feeds.devices if not feed.has_utility for source in feed.sources]
    return _outputs(given, [*beside, *feeds.direct])


def _outputs(given: Given, sources: Sequence[PowerSource]) -> list[Value]:
    ac = {source.id: source for source in sources if source.is_ac and source.kind != "utility"}
    return [given.need(each.output_a, f"output current of {each.id}").named(f"I_{each.id}") for each in ac.values()]


def _ahead(given: Given, switch: IslandingSwitch) -> Value:
    system = given.system
    if switch.tag in system.busbars:
        return protecting_rating(given, system.busbars[switch.tag])
    feed = _feeds(given, switch, switch.line_node).from_utility
    rating = feed.device.rating_a if feed is not None else None
    return given.need(rating, f"overcurrent device between the utility and {switch.tag}").named("OCPD")
