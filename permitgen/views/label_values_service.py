"""Values of labels on service disconnects: which of a group it is, what it serves, and what else supplies the building."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from permitgen.evaluation.label_facts.services import disconnects_at
from permitgen.rules.quantities.dwelling_units import name_of, units_behind, units_on
from permitgen.rules.quantities.grouped_places import groups_of
from permitgen.rules.quantities.service_disconnects import ServiceDisconnect, loads_beyond, service_side
from permitgen.rules.quantities.siting_buildings import stand_at_one_structure, supplies_of_buildings
from permitgen.views.label_context import AboutLabel, Provider, capitals, in_a_row, where

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.equipment import Equipment


def _number_in_group(about: AboutLabel) -> str:
    """Which of the disconnects that stand in one group this is, as ``1 OF 2``; nothing for one that stands alone."""
    given = about.context.evaluation.given
    mains = service_side(given).of_loads
    own = disconnects_at(about.context.evaluation, about.subject)
    if len(mains) < 2 or not own:
        return ""
    items = [given.system.equipment[tag] for tag in dict.fromkeys(each.enclosure for each in mains)]
    group = next(each for each in groups_of(given, items) if own[0].enclosure in {item.tag for item in each})
    tags = {item.tag for item in group}
    together = [each for each in mains if each.enclosure in tags]
    return f"{together.index(own[0]) + 1} OF {len(together)}" if len(together) > 1 else ""


def _load_served(about: AboutLabel) -> str:
    """What one of several service disconnects serves: dwelling units, else the panels or equipment behind it."""
    given = about.context.evaluation.given
    own = disconnects_at(about.context.evaluation, about.subject)
    if len(service_side(given).of_loads) < 2 or not own:
        return ""
    return capitals(in_a_row(_served(given, own)))


def _served(given: Given, disconnects: tuple[ServiceDisconnect, ...]) -> tuple[str, ...]:
    tags = loads_beyond(given, disconnects)
    units = units_on(given, tags)
    return tuple(name_of(unit) for unit in units) or tuple(given.system.equipment[tag].name for tag in tags)


def _supplies(about: AboutLabel) -> tuple[str, ...]:
    """Every other service and circuit that supplies the building of the label, with the place of its disconnect and what it serves."""
    given = about.context.evaluation.given
    items = [given.system.equipment[found.enclosure] for found in service_side(given).of_loads]
    items += [supply.equipment for supply in supplies_of_buildings(given) if supply.building]
    items = [item for item in items if stand_at_one_structure(given, item.tag, about.subject.equipment)]
    others = {item.tag: item for item in items if item.tag != about.subject.equipment}
    return tuple(capitals(f"{item.name}: {where(item.place)}{_area(given, item)}") for item in others.values())


def _area(given: Given, item: Equipment) -> str:
    """The area served, where it has a name beside the equipment's own."""
    units = units_behind(given, item.tag)
    return f", serves {in_a_row(name_of(unit) for unit in units)}" if units else ""


SERVICE: Mapping[str, Provider] = {
    "service-disconnect.number_of_n": _number_in_group,
    "service-disconnect.load_served": _load_served,
    "supply_list": _supplies,
}
