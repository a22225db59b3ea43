"""A panelboard is protected within it or ahead of it by a device of at most its rating, in every operating mode."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.busbar import supply_and_sources_a
from permitgen.rules.judgement import Judgement, Verdict, all_of, any_of, does_not_apply, not_judged, require, require_at_most
from permitgen.rules.parts import parts_for, parts_of
from permitgen.rules.quantities.dwelling_kind import ONE_FAMILY
from permitgen.rules.quantities.feeding import feeds_ahead, limit_themselves, output_of, rating_of
from permitgen.rules.quantities.service_disconnects import has_separate_compartments, service_side
from permitgen.rules.rule import rule
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.feeds import Feeds, feeds_into
from permitgen.system.walks.sources_on_busbar import supply_path
from permitgen.values.equation import one_or_sum_of
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.panelboard import Panelboard
    from permitgen.system.link import Link

_SEVERAL = 2


@rule(
    "panelboard-protection",
    title="A panelboard is protected within it or ahead of it by a device of at most its rating, in every operating mode",
    provision="panelboard_protection",
    judges="panelboard",
)
def judge(panel: Panelboard, given: Given) -> Judgement:
    """Judge what supplies a panelboard against the rating of its busbar, mode by mode.

    Requires: in each mode, the devices through which the panel is supplied together ≤ its rating.
    Why: a panel with main lugs only is protected by nothing but what stands ahead of it, which changes when the house is an island.
    Applies to: panelboards; of service equipment with several service disconnects one that may have them passes. Sources that feed the
        busbar from its load side have a rule of their own.
    Example that fails: a 125 A panel with main lugs only behind a 200 A main.
    Example that passes: the same panel behind a 100 A device; a 100 A panel with a 125 A main on a 60 A feeder.
    """
    rating = given.need(panel.busbar_rating_a, f"busbar rating of {panel.tag}").named("B", f"rating of {panel.tag}")
    parts = parts_for(given.system.modes, lambda mode: _in_mode(panel, given, mode, rating))
    if not parts:
        return does_not_apply(f"{panel.tag}: nothing supplies it")
    found = all_of(f"{panel.tag}: protected at its rating of {rating.figure} A in every mode", parts)
    # A main that nobody knows may protect the panel, and cannot make it worse.
    return not_judged(f"main of {panel.tag}") if found.verdict is Verdict.VIOLATED and "main" in panel.unknown else found


def _in_mode(panel: Panelboard, given: Given, mode: OperatingMode, rating: Value) -> list[Judgement]:
    supply = _supply_link(panel, given)
    if supply is None:
        return []
    bus = f"{panel.tag}.bus"
    others = tuple(link for link in given.system.graph.at_node[bus] if link is not supply)
    feeds = feeds_into(given.system, bus, mode, others)
    if not feeds.sources:
        return []
    if any(source.kind == "utility" for source in feeds.direct):
        return [_by_its_mains(panel, given) or not_judged(f"overcurrent device ahead of {panel.tag}")]
    methods = parts_of(lambda: _by_devices(panel, given, mode, feeds, rating))
    if len(feeds.devices) + len(feeds.direct) > 1:
        methods += parts_of(lambda: _by_output(panel, given, mode, feeds, rating))
    within = any_of(f"{panel.tag}, {mode}", methods)
    ahead = feeds_ahead(given, bus, supply, mode)
    if within.holds or ahead is None or feeds.direct or [feed.link for feed in feeds.devices] != [supply]:
        return [within]
    further = parts_of(lambda: _by_devices(panel, given, mode, ahead, rating))
    return [any_of(f"{panel.tag}, {mode}", [*methods, *further]) if any(part.holds for part in further) else within]


def _by_its_mains(panel: Panelboard, given: Given) -> Judgement | None:
    """Service equipment whose several breakers are the service disconnects needs no device for all, where 230.71 lets it have them.

    What stands in a dwelling already may go on so (exception 3); what is new follows the count of its edition (exception 1).
    """
    mains = [found for found in service_side(given).of_loads if found.enclosure == panel.tag]
    if panel.main is not None or len(mains) < _SEVERAL or "service equipment" not in panel.roles:
        return None
    if panel.status == "existing" and given.system.site.dwelling in ONE_FAMILY:
        message = (
            f"{panel.tag}: existing service equipment of one dwelling with {len(mains)} service disconnects, no device for all of them"
        )
        return require(fact=True, message=message, method="service disconnects of an existing panel")
    count = given.provision("service_disconnect_count")
    number = Value(float(len(mains)), "count", FromSystem("counted on the graph"), "n", f"service disconnects in {panel.tag}")
    one = Value(1.0, "count", FromSystem("one in each enclosure"), "n_max", "service disconnects in one enclosure")
    is_single = count.flag("separate_enclosures") and panel.status != "existing" and not has_separate_compartments(given, panel.tag)
    limit = one if is_single else count.value("largest_count")
    return require_at_most(
        f"{panel.tag}: {len(mains)} service disconnects and no device for all of them",
        computed=number,
        limit=limit,
        method="service disconnects",
    )


def _supply_link(panel: Panelboard, given: Given) -> Link | None:
    """Return the link through which the panel is supplied: toward the utility, else its main."""
    bus = f"{panel.tag}.bus"
    path = supply_path(given.system, bus, OperatingMode.WITH_UTILITY)
    return path[0] if path else next((link for link in given.system.graph.at_node.get(bus, ()) if link.part == f"{panel.tag} main"), None)


def _by_devices(panel: Panelboard, given: Given, mode: OperatingMode, feeds: Feeds, rating: Value) -> Judgement:
    ratings = [rating_of(given, feed).named(f"OCPD_{n}", f"rating of {feed.link.part}") for n, feed in enumerate(feeds.devices, start=1)]
    outputs = [output_of(given, (source,), panel.tag) for source in feeds.direct]
    terms = [*ratings, *outputs]
    total = one_or_sum_of(terms, symbol="ΣOCPD", title=f"devices that supply {panel.tag} together, {mode}")
    names = " and ".join(feed.link.part for feed in feeds.devices)
    return require_at_most(
        f"{names}: {total.figure} A on a panel of {rating.figure} A", computed=total, limit=rating, method="devices ahead"
    )


def _by_output(panel: Panelboard, given: Given, mode: OperatingMode, feeds: Feeds, rating: Value) -> Judgement:
    """Sources that hold their own output count with 125 percent of it beside the utility's device."""
    utility = feeds.from_utility
    through = set(utility.sources) if utility is not None else set()
    sources = tuple(source for source in feeds.sources if source not in through)
    if not limit_themselves(sources):
        return does_not_apply(f"{panel.tag}, {mode}: a generator is held only by its device")
    provision = given.provision("feeder_with_source")
    protecting = rating_of(given, utility).named("P") if utility is not None else None
    output = output_of(given, sources, panel.tag)
    zero = output_of(given, (), panel.tag)
    total = supply_and_sources_a.derive(
        protecting_a=(protecting or zero).named("P"),
        source_factor=provision.value("source_factor"),
        sources_a=output,
        provision=provision,
    )
    return require_at_most(
        f"device and 125 percent of the sources: {total.number:.4g} A on a panel of {rating.figure} A",
        computed=total,
        limit=rating,
        method="device and output of the sources",
    ).under(provision)
