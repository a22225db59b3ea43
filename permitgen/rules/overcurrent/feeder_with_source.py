"""A feeder that sources join carries utility and sources together, or has a device at its load end."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.busbar import supply_and_sources_a
from permitgen.code.standard_sizes import select_protecting_rating
from permitgen.rules.judgement import Judgement, any_of, does_not_apply, require_at_least, require_at_most
from permitgen.rules.larger_conductor import larger_conductors
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.quantities.conductor_ampacity import conductor_ampacity
from permitgen.rules.quantities.feeding import feeds_at, output_of, rating_of
from permitgen.rules.rule import rule
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.system.walks.dwelling_load import devices_at_load_end

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.walks.feeds import Feeds


@rule(
    "feeder-with-source",
    title="A feeder that sources join carries utility and sources together, or has a device at its load end",
    provision="feeder_with_source",
    judges="circuit",
    sizes=("conductor",),
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the part of a feeder that lies beyond the point where sources join it.

    Requires: ampacity ≥ rating of the feeder's device + 125 percent of the sources' output, or one device at the load end ≤ ampacity.
    Why: utility and sources feed this part side by side, and the device of neither limits the sum.
    Applies to: feeders that utility and sources enter at the same end; not where the sources sit at the opposite end.
    Example that fails: 3 AWG copper, 100 A, behind a 100 A device and 32 A of storage, 140 A, to a panel with main lugs only.
    Example that passes: the same conductors to a panel with a 100 A main breaker.
    """
    if role(given, circuit) is not CircuitRole.FEEDER:
        return does_not_apply(f"{circuit.tag} is no feeder")
    for end, other in (("start", "finish"), ("finish", "start")):
        feeds = feeds_at(given, circuit, end, OperatingMode.WITH_UTILITY)
        if feeds.from_utility is not None and len(feeds.sources) > len(feeds.from_utility.sources):
            methods = [_by_sum(circuit, given, feeds), _by_device(circuit, given, other)]
            return any_of(f"{circuit.tag}: beyond the point where sources join", methods)
    return does_not_apply(f"{circuit.tag}: no source joins it between its device and its load end")


def _by_sum(circuit: Circuit, given: Given, feeds: Feeds) -> Judgement:
    provision = given.provision("feeder_with_source")
    assert feeds.from_utility is not None  # noqa: S101 - the caller found it
    behind = {source.id for source in feeds.from_utility.sources}
    sources = tuple(source for source in feeds.sources if source.id not in behind)
    total = supply_and_sources_a.derive(
        protecting_a=rating_of(given, feeds.from_utility).named("P", f"rating of the breaker or fuse at {feeds.from_utility.link.part}"),
        source_factor=provision.value("source_factor"),
        sources_a=output_of(given, sources, circuit.tag),
        provision=provision,
    )
    ampacity = conductor_ampacity(given, circuit).final_a
    return require_at_least(
        f"its conductors carry {ampacity.number:.4g} A, device and sources together give {total.number:.4g} A",
        computed=ampacity,
        limit=total,
        method="sum of device and sources",
        remedies=larger_conductors(circuit),
    ).under(provision)


def _by_device(circuit: Circuit, given: Given, end: str) -> Judgement:
    """One device at the load end; strictly not above the ampacity unless the jurisdiction lets the next rating up stand."""
    provision = given.provision("feeder_with_source")
    border = devices_at_load_end(given.system, circuit.tag, end)
    if len(border) != 1:
        return does_not_apply(f"{len(border)} devices are at the load end of {circuit.tag}").under(provision)
    rating = given.need(border[0].device.rating_a, f"rating of {border[0].link.part}").named("OCPD")
    ampacity = conductor_ampacity(given, circuit).final_a
    next_up = given.option("feeder_with_source_next_size_up", "no") == "yes"
    limit = select_protecting_rating(given.code, ampacity) if next_up else ampacity
    return require_at_most(
        f"{border[0].link.part}, {rating.figure} A, at its load end; its conductors carry {ampacity.number:.4g} A",
        computed=rating,
        limit=limit,
        method="device at the load end",
    ).under(provision)
