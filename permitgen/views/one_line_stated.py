"""What every one-line diagram states in its notes, however little room there is at the symbols: interrupting ratings, insulation."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.system.panel_rows import branch_breakers
from permitgen.views.wording import joined_tags, value_text

if TYPE_CHECKING:
    from collections.abc import Iterable

    from permitgen.system.interlock import Interlock
    from permitgen.system.system import System

_NOT_STATED = "not stated"


def stated_of(system: System) -> tuple[str, ...]:
    """Return a note of interrupting ratings and one of insulation, each value with all that have it; what is not stated is said so."""
    of_loads = {tag for tags in branch_breakers(system).values() for tag in tags}
    ratings = (
        (tag, value_text(each.device.interrupting_rating_ka) if each.device.interrupting_rating_ka is not None else _NOT_STATED)
        for tag, each in system.devices.items()
        if tag not in of_loads
    )
    insulation = ((tag, circuit.conductors.insulation or _NOT_STATED) for tag, circuit in system.circuits.items())
    return (*_by_value("Interrupting ratings", ratings), *_by_value("Conductor insulation", insulation))


def _by_value(title: str, stated: Iterable[tuple[str, str]]) -> tuple[str, ...]:
    groups: dict[str, list[str]] = {}
    for tag, value in stated:
        groups.setdefault(value, []).append(tag)
    said = " · ".join(f"{value}: {joined_tags(tags)}" for value, tags in groups.items())
    return (f"{title}. {said}.",) if said else ()


def interlock_mark(number: int) -> str:
    """Return what stands at each switch of an interlock."""
    return f"ILK {number}"


def marks_at(interlocks: Iterable[Interlock], switch: str) -> tuple[str, ...]:
    """Return the marks of the interlocks that hold a switch, by its handle."""
    return tuple(interlock_mark(number) for number, each in enumerate(interlocks, start=1) if switch in each.switches)
