"""Each source has a disconnect that separates it from all other systems, readily accessible and rated for its current."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, any_of, does_not_apply, require, require_at_least
from permitgen.rules.parts import parts_of
from permitgen.rules.quantities.circuit_current import generator_output
from permitgen.rules.rule import rule
from permitgen.system.equipment.disconnect import Disconnect
from permitgen.system.equipment.generator import Generator
from permitgen.system.walks.source_switches import link_of, separating_handles, separating_together

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.subjects import InstalledSource
    from permitgen.system.handle import Handle
    from permitgen.system.power_source import PowerSource
    from permitgen.values.value import Value


_SEVERAL = 2


@rule(
    "source-disconnect",
    title="Each source has a disconnect that separates it from all other systems, readily accessible and rated for its current",
    provision="source_disconnect",
    judges="source",
)
def judge(subject: InstalledSource, given: Given) -> Judgement:
    """Judge the handles that separate one source.

    Requires: a switch or breaker that separates the source from everything else, readily accessible, rated for its current; where a
        source has several ways out, as an inverter with a load port, one on each.
    Why: every source must be taken off for work and in an emergency without taking everything off.
    Applies to: interconnected ac sources; generators, storage and PV have rules of their own beside this one.
    Example that fails: an inverter that ends on lugs of a panel, or a switch of 30 A for 32 A.
    Example that passes: a breaker in the combiner panel.
    """
    source = subject.source
    if not source.is_ac:
        return does_not_apply(f"{source.id} supplies direct current")
    handles = [handle for handle in separating_handles(given.system, (source,)) if link_of(given.system, handle.id) is not None]
    if not handles:
        together = separating_together(given.system, source)
        if len(together) < _SEVERAL:
            return require(fact=False, message=f"no switch or breaker separates {source.id} from everything else")
        return all_of(f"{source.id}: one disconnect on each way out", [_one(handle, source, given) for handle in together])
    return any_of(f"{source.id}: its disconnect", [_one(handle, source, given) for handle in handles])


def _one(handle: Handle, source: PowerSource, given: Given) -> Judgement:
    access = handle.place.readily_accessible if handle.place is not None else None
    text = f"{handle.id} is {'' if access else 'not '}readily accessible"
    reached = require(access, text, missing=f"whether {handle.tag} is readily accessible")
    parts = [reached, *parts_of(lambda: _rated(handle, source, given))]
    return all_of(f"{handle.id}, readily accessible and rated for it", parts)


def _rated(handle: Handle, source: PowerSource, given: Given) -> Judgement:
    rating = given.need(_rating(handle, given), f"rating of {handle.id}")
    current = _output(source, given).named("I", f"output current of {source.id}")
    message = f"{handle.id} is rated {rating.figure} A, the source supplies {current.number:.4g} A"
    return require_at_least(message, computed=rating, limit=current)


def _output(source: PowerSource, given: Given) -> Value:
    """Return what a source supplies; a generator no more than its own device lets through."""
    machine = given.system.equipment[source.tag]
    if isinstance(machine, Generator):
        return generator_output(given, machine)
    return given.need(source.output_a, f"output current of {source.id}")


def _rating(handle: Handle, given: Given) -> Value | None:
    item = given.system.equipment.get(handle.tag)
    if isinstance(item, Disconnect):
        return item.rating_a.named("R") if item.rating_a is not None else None
    link = link_of(given.system, handle.id)
    if link is not None and link.device is not None and link.device.rating_a is not None:
        return link.device.rating_a.named("R", f"rating of {handle.id}")
    # The switch inside a listed storage unit is rated for the unit by its listing.
    unit_output: Value | None = getattr(item, "output_a", None)
    return (
        unit_output.named("R", f"switch of {handle.tag}, rated with it")
        if unit_output is not None and link is not None and link.device is None
        else None
    )
