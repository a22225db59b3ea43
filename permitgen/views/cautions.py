"""The cautions that stand on every document, each of them a claim that is true of this installation."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.system.walks.isolation import has_loads_beyond, left_running, service_handles, shutdown_steps
from permitgen.values.listed_words import listed

if TYPE_CHECKING:
    from permitgen.system.system import System

ENERGIZED = "Treat every conductor as energized until tested de-energized; check the tester on a known live source before and after."
SEVERAL_SWITCHES = "More than one switch must be opened to de-energize this system."
_SERVICE_NOT_ENOUGH = "Opening the service disconnect alone is not enough."
_QUALIFIED = "Work by qualified persons only. Manufacturer's instructions and equipment markings govern over this document."
_SOURCES = {"utility": "utility", "energy storage": "storage", "generator": "generator", "photovoltaic": "solar", "vehicle": "vehicle"}
_STAYS_LIVE = {
    "photovoltaic": "array conductors are live whenever there is light",
    "energy storage": "battery units hold energy with every switch off",
}


def cautions_of(system: System) -> tuple[str, ...]:
    """Return the cautions, found once: which sources there are, and what a walk finds live when switches are open."""
    return system.graph.once("cautions", lambda: tuple(_find(system)))


def has_several_switches(system: System) -> bool:
    """Whether more than one handle must be opened to make the house dead."""
    return len(shutdown_steps(system).steps) > 1


def _find(system: System) -> list[str]:
    kinds = {source.kind for source in system.sources.values()}
    sources = [word for kind, word in _SOURCES.items() if kind in kinds]
    lines = [ENERGIZED]
    if len(sources) > 1:
        lines.append(f"Lock out and tag every source before work: {listed(sources)} each feed the house independently.")
    elif sources:
        lines.append(f"Lock out and tag the source before work: {sources[0]}.")
    if has_several_switches(system):
        mains = [handle for handle in service_handles(system) if has_loads_beyond(system, handle)]
        beside = any(source.kind != "utility" for source in left_running(system, mains))
        lines.append(f"{SEVERAL_SWITCHES} {_SERVICE_NOT_ENOUGH}" if beside else SEVERAL_SWITCHES)
    live = "; ".join(words for kind, words in _STAYS_LIVE.items() if kind in kinds)
    if live:
        lines.append(f"{live[0].upper()}{live[1:]}.")
    return [*lines, _QUALIFIED]
