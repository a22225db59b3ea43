"""What lies beyond the feed-through lugs at the end of a busbar, and what limits the current that they take."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.rules.quantities.busbar_feeds import brings_source, has_breakers_outside_file
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.circuit_sides import side_beyond
from permitgen.system.walks.dc_circuits import circuit_at
from permitgen.system.walks.feeds import Border, border_devices

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.busbar import Busbar


def what_is_missing(busbar: Busbar) -> str:
    """Return the words for lugs of which the project does not show what they feed."""
    return f"circuit on the feed-through lugs of {busbar.tag}"


@dataclass(frozen=True, slots=True)
class FeedThroughLugs:
    """``devices`` are the first ones beyond the lugs; ``device`` is the one at an end of the feed-through conductors, where there is one.

    ``at_supply_end`` says that it stands where the conductors leave the lugs. Where they meet another busbar first, that busbar and
    this one hang together: ``device`` is None and ``devices`` are its breakers, all of which the file shows where ``shows_all``.
    """

    devices: tuple[Border, ...]
    device: Border | None
    at_supply_end: bool
    brings_source: bool
    feeds_loads: bool
    shows_all: bool


def feed_through_lugs(given: Given, busbar: Busbar) -> FeedThroughLugs | None:
    """Return what the lugs of a busbar feed; None where it has none, or where the project does not show what lands on them."""
    system = given.system
    if not busbar.has_feed_through_lugs or circuit_at(system, busbar.tag, "feed_through") is None:
        return None
    far = f"{busbar.tag}.feed_through"
    link = next(link for link in system.graph.at_node[far] if link.other(far) == busbar.node)
    inside, devices = border_devices(system, far, left_out=(link,))
    joined = [other for other in system.busbars.values() if other.node in inside]
    one = devices[0] if len(devices) == 1 and not joined else None
    return FeedThroughLugs(
        devices=devices,
        device=one,
        at_supply_end=one is not None and far in (one.link.first, one.link.second),
        brings_source=brings_source(given, busbar, link),
        feeds_loads=side_beyond(system, link, far, OperatingMode.WITH_UTILITY).has_loads,
        shows_all=all(has_breakers_outside_file(given, other) is False for other in joined),
    )
