"""Changes that may make a busbar pass: sources at the opposite end, a smaller device, sources held down, one less. Each is tried."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from permitgen.code.equations.busbar import largest_source_output_a
from permitgen.code.standard_sizes import standard_ratings_a
from permitgen.rules.busbars.opposite_end_remedy import moved_to_opposite_end
from permitgen.rules.judgement import TOLERANCE, Remedy, RemedyKind
from permitgen.rules.quantities.busbar_feeds import feeds_of
from permitgen.rules.quantities.source_output import counted_output
from permitgen.system.equipment.held_output import HeldOutput
from permitgen.values.figure import figure
from permitgen.values.origin import Assumed
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.busbar import Busbar
    from permitgen.system.overcurrent_device import OvercurrentDevice
    from permitgen.system.power_source import PowerSource
    from permitgen.system.system import System


def _tried(number: float, title: str) -> Value:
    return Value(number, "a", Assumed("tried as a remedy"), title=title)


def remedies_for(busbar: Busbar, given: Given) -> tuple[Remedy, ...]:
    """Return the changes worth trying, the least intrusive first."""
    return (*moved_to_opposite_end(busbar, given), *_smaller_devices(busbar, given), *_limits(busbar, given), *_fewer(busbar, given))


def _smaller_devices(busbar: Busbar, given: Given) -> Iterator[Remedy]:
    """Offer the largest standard device with which 120 percent, or 100 percent, of the busbar is kept."""
    feeds = feeds_of(given, busbar)
    outputs = [counted_output(given, source) for source in feeds.sources if source.output_a is not None]
    if feeds.protected_by is None or feeds.protected_by.rating_a is None or busbar.rating_a is None:
        return
    ratings = standard_ratings_a(given.code)
    tried: set[float] = set()
    for id_ in ("opposite_end_120_percent", "sum_of_ratings"):
        provision = given.provision(id_)
        room = provision.value("busbar_factor").number * busbar.rating_a.number
        room -= provision.value("source_factor").number * sum(output.number for output in outputs)
        fitting = [rating for rating in ratings if rating <= room * (1 + TOLERANCE) and rating < feeds.protected_by.rating_a.number]
        if fitting and fitting[-1] not in tried:
            tried.add(fitting[-1])
            changed = replace(feeds.protected_by, rating_a=_tried(fitting[-1], f"rating of {feeds.protected_part}"))
            change = partial(_with_device, old=feeds.protected_by, new=changed)
            of = f"rating of {feeds.protected_part}"
            yield Remedy(f"{figure(fitting[-1])} A at {feeds.protected_part}", change, RemedyKind.SMALLER, of)


def _with_device(system: System, *, old: OvercurrentDevice, new: OvercurrentDevice) -> System:
    return system.with_device(old, new)


def _limits(busbar: Busbar, given: Given) -> Iterator[Remedy]:
    """Hold the sources that can be limited to an equal share of what 120 percent, or 100 percent, leaves."""
    feeds = feeds_of(given, busbar)
    items = [(source, given.system.equipment[source.tag]) for source in feeds.sources]
    limited = [(source, item) for source, item in items if isinstance(item, HeldOutput) and source.output_a is not None]
    if not limited or not given.in_force("power_control_system") or busbar.rating_a is None:
        return
    if feeds.protected_by is None or feeds.protected_by.rating_a is None:
        return
    fixed = sum(s.output_a.number for s, item in items if (s, item) not in limited and s.output_a is not None)
    for id_ in ("opposite_end_120_percent", "sum_of_ratings"):
        provision = given.provision(id_)
        factor, of_source = provision.value("busbar_factor").number, provision.value("source_factor").number
        room = largest_source_output_a(factor, busbar.rating_a.number, feeds.protected_by.rating_a.number, of_source) - fixed
        each = math.floor(room / len(limited) + 1e-9)
        if each < 1:
            continue
        names = " and ".join(source.tag for source, _ in limited)
        change = partial(_held, limited=limited, each=each)
        yield Remedy(f"{names} held to {each} A by a listed power control system", change, RemedyKind.SMALLER, f"limit of {names}")


def _held(system: System, *, limited: list[tuple[PowerSource, HeldOutput]], each: int) -> System:
    for source, item in limited:
        system = system.with_equipment(replace(item, limit_a=_tried(float(each), f"current to which {source.tag} is held")))
    return system


def _fewer(busbar: Busbar, given: Given) -> Iterator[Remedy]:
    tags = list(dict.fromkeys(source.tag for source in feeds_of(given, busbar).sources))
    if len(tags) < 2:
        return
    for tag in reversed(tags):
        yield Remedy(f"without {tag}", partial(_without, tag=tag))


def _without(system: System, *, tag: str) -> System:
    circuits = {name: circuit for name, circuit in system.circuits.items() if tag not in (circuit.start.tag, circuit.finish.tag)}
    equipment = {name: item for name, item in system.equipment.items() if name != tag}
    controls = {name: control for name, control in system.controls.items() if tag not in (control.source, control.device)}
    return replace(system, equipment=equipment, circuits=circuits, controls=controls)
