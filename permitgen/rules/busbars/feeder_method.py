"""An interconnect device read as a part of a feeder: what lies beyond the sources carries everything or is protected there."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.code.equations.busbar import supply_and_sources_a
from permitgen.rules.judgement import Judgement, all_of, any_of, does_not_apply, not_judged, require_at_least, require_at_most
from permitgen.rules.quantities.busbar_feeds import brings_source, feeds_of, protecting_rating, source_current
from permitgen.rules.quantities.conductor_ampacity import conductor_ampacity
from permitgen.system.walks.dc_circuits import circuit_at

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.busbar import Busbar
    from permitgen.system.link import Link
    from permitgen.values.value import Value


def judge(busbar: Busbar, given: Given) -> Judgement:
    """Judge every way from the busbar to loads by the feeder rule.

    Each is protected by a device at the busbar within the busbar's rating, or busbar and conductors beyond carry the
    protecting device and 125 percent of the sources.
    """
    provision = given.provision("feeder_with_source")
    parts = [_way(busbar, link, given) for link in _ways_to_loads(busbar, given)]
    if not parts:
        return does_not_apply("no load conductors leave this busbar").under(provision)
    return replace(all_of("feeder with sources", parts), method="feeder").under(provision)


def _ways_to_loads(busbar: Busbar, given: Given) -> Iterator[Link]:
    supply = feeds_of(given, busbar).supply
    former = f"{busbar.tag}.autotransformer"
    for link in given.system.graph.at_node.get(busbar.node, ()):
        terminal = given.system.equipment[busbar.tag].terminals.get(link.other(busbar.node).rpartition(".")[2])
        is_source = terminal is not None and bool(terminal.accepts)
        if link is supply or link.other(busbar.node) == former or is_source:
            continue
        if link.part.endswith("load terminals") or not brings_source(given, busbar, link):
            yield link


def _total(busbar: Busbar, given: Given) -> Value:
    provision = given.provision("feeder_with_source")
    return supply_and_sources_a.derive(
        protecting_a=protecting_rating(given, busbar),
        source_factor=provision.value("source_factor"),
        sources_a=source_current(given, busbar),
        provision=provision,
    )


def _way(busbar: Busbar, link: Link, given: Given) -> Judgement:
    rating = given.need(busbar.rating_a, f"busbar rating of {busbar.tag}").named("B")
    methods = []
    if link.device is not None:
        device = given.need(link.device.rating_a, f"rating of the device at {link.part}").named("OCPD")
        message = f"{link.part}: a device of {device.number:g} A at the busbar of {rating.number:g} A protects what lies beyond"
        methods.append(require_at_most(message, computed=device, limit=rating))
    total = _total(busbar, given)
    enough = [
        require_at_least(f"busbar of {rating.number:g} A, device and sources together {total.number:g} A", computed=rating, limit=total)
    ]
    circuit = circuit_at(given.system, busbar.tag, link.other(busbar.node).rpartition(".")[2])
    if circuit is not None:
        if circuit.conductors.size is None:
            enough.append(not_judged(f"conductor size of {circuit.tag}"))
        else:
            ampacity = conductor_ampacity(given, circuit).final_a
            message = f"{circuit.tag} carries {ampacity.number:.4g} A, device and sources together {total.number:g} A"
            enough.append(require_at_least(message, computed=ampacity, limit=total))
    methods.append(all_of(f"busbar and conductors carry {total.number:g} A", enough))
    return any_of(link.part, methods)
