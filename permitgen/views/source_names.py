"""Sources by the names that people know: arrays together, batteries by their count, an inverter never as a battery."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.system.equipment.inverter import Inverter
from permitgen.system.walks.batteries import batteries_among, inverters_without_battery, units_together
from permitgen.system.walks.stopped_sources import inverter_sources

if TYPE_CHECKING:
    from permitgen.system.power_source import PowerSource
    from permitgen.system.system import System
    from permitgen.views.languages import Phrases


def grouped_sources(system: System, sources: tuple[PowerSource, ...], phrases: Phrases) -> list[str]:
    """Return sources named by kind: all arrays together, storage units by their count; what only converts is no storage unit."""
    by_kind: dict[str, dict[str, None]] = {}
    for source in sources:
        by_kind.setdefault(source.kind, {})[source.tag] = None
    found: list[str] = []
    for kind, tags in by_kind.items():
        if kind == "energy storage":
            found += _storage_named(system, tuple(tags), phrases)
        else:
            found.append(phrases.choose(*_one_of(kind, len(tags)), f"source.{kind}", "source.unknown", count=len(tags)))
    return found


def sources_by_name(system: System, sources: tuple[PowerSource, ...], phrases: Phrases) -> list[str]:
    """Return sources named by kind where they are all of their kind, else each by its own name: one array of two is not *solar panels*."""
    found: list[str] = []
    for kind in dict.fromkeys(source.kind for source in sources):
        of_kind = tuple(source for source in sources if source.kind == kind)
        tags = dict.fromkeys(source.tag for source in of_kind)
        others = {source.tag for source in system.sources.values() if source.kind == kind} - converting(system) - set(tags)
        if others:
            found += [_told_apart(system, tag, {*tags, *others}, phrases) for tag in tags]
        else:
            found += grouped_sources(system, of_kind, phrases)
    return found


def _told_apart(system: System, tag: str, among: set[str], phrases: Phrases) -> str:
    """Return the name of a source, up to its first comma where that tells it from the others of its kind."""
    name = system.equipment[tag].name or tag
    short = name.partition(",")[0]
    if name in phrases.own or any(system.equipment[each].name.partition(",")[0] == short for each in among - {tag}):
        return phrases.own.get(name, name)
    return short


def converting(system: System) -> set[str]:
    """Return the tags of inverters that count through the strings and batteries that feed them."""
    return {item.tag for item in system.equipment.values() if isinstance(item, Inverter) and inverter_sources(system, item)}


def _storage_named(system: System, tags: tuple[str, ...], phrases: Phrases) -> list[str]:
    """Name batteries by their count; an inverter only where no battery of its own stands beside it."""
    batteries = batteries_among(system, tags)
    inverters = inverters_without_battery(system, tags) if batteries else tuple(system.equipment[tag] for tag in tags)
    count = units_together(batteries)
    named = [phrases.choose(*_one_of("energy storage", count), "source.energy storage", count=shown_count(count))] if batteries else []
    if inverters:
        named.append(phrases.choose(*_one_of("battery inverter", len(inverters)), "source.battery inverter", count=len(inverters)))
    return named


def _one_of(kind: str, count: int | None) -> list[str]:
    return [f"source.{kind}.one"] if count == 1 else []


def shown_count(count: int | None) -> int | str:
    """Return a number of units as it prints."""
    return "?" if count is None else count


def is_one_source(system: System, tags: set[str]) -> bool:
    """Whether these sources are one thing to whoever reads: one source, or the one unit behind an inverter."""
    batteries = batteries_among(system, tags)
    return len(tags) == 1 if not batteries else units_together(batteries) == 1 and not inverters_without_battery(system, tags)
