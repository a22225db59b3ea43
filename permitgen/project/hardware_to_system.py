"""Places, terminals and overcurrent devices from their models."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from permitgen.project.cursor import Cursor
from permitgen.project.fields import NONE
from permitgen.project.place_building import PlaceBuilding
from permitgen.system.directory import Directory, FurtherDevice
from permitgen.system.enclosure import EntryZone, WiringSpace
from permitgen.system.neutral_bond import BondState, NeutralBond
from permitgen.system.overcurrent_device import OvercurrentDevice
from permitgen.system.place import Place
from permitgen.system.site.surroundings import fact_of
from permitgen.system.terminal import Terminal
from permitgen.values.origin import ProjectLine
from permitgen.values.value import Value

# Poles of a device, and ungrounded conductors of a circuit, where the file states neither.
USUAL_POLES = 2
_PLACE_USED = frozenset({"handle_height", "distance"})
_PLACE_WORDS = ("opposite", "dedicated_space", "vehicle_protection", "fire_detection", "ventilation", "lining", "moisture")
_MATERIAL_MARKS = {"cu": "copper", "copper": "copper", "al": "aluminum", "aluminum": "aluminum"}


def place_of(at: Cursor, building: PlaceBuilding) -> Place:
    """Build a place at ``building``."""
    given: Any = at.model
    position = [_coordinate(at, index, number) for index, number in enumerate(given.map)] if len(given.map) == 2 else [None, None]
    return Place(
        description=given.description,
        building=building.name,
        is_in_the_open=building.is_in_the_open,
        is_building_assumed=building.is_assumed,
        on_array="" if "on_array" in given.absent else given.on_array or None,
        space=given.space,
        outdoors=given.outdoors,
        readily_accessible=given.readily_accessible,
        in_sight_of=(NONE,) if "in_sight_of" in given.absent else given.in_sight_of,
        handle_height_in=at.value("handle_height"),
        x_ft=position[0],
        y_ft=position[1],
        faces=given.faces,
        is_under_stairs=given.under_stairs,
        facts=(*at.facts(_PLACE_USED), *_stated_distances(at)),
        words=at.words(_PLACE_WORDS),
    )


def _stated_distances(at: Cursor) -> Iterator[tuple[str, Value]]:
    model: Any = at.model
    for thing, measured in model.distances.items():
        value = at.of(measured, "distances", thing, title=f"distance of {at.owner} to the nearest {thing}", symbol="d")
        if value is not None:
            yield fact_of(thing), value


def _coordinate(at: Cursor, index: int, number: float) -> Value:
    given: Any = at.model
    told = ("wall",) if given.wall else ("ground",) if given.ground is not None else ("map", index)
    line = at.line(*told)
    return Value(
        number, "ft", ProjectLine(line.file, line.line, line.column, line.path, f"{number:g}"), "xy"[index], f"plan position of {at.owner}"
    )


def device_of(at: Cursor, position: int | None = None, ungrounded: int = USUAL_POLES) -> OvercurrentDevice:
    """Build an overcurrent device; where the file does not state its poles, it has one for each ungrounded conductor."""
    given: Any = at.model
    rating = at.value("rating", f"rating of the {given.kind}") if given.rating is not None else None
    return OvercurrentDevice(
        kind=given.kind,
        rating_a=rating,
        poles=given.poles if given.poles is not None else ungrounded,
        are_poles_stated=given.poles is not None,
        interrupting_rating_ka=at.value("interrupting_rating", f"interrupting rating of the {given.kind}"),
        space=given.space,
        position=position,
        marked_line_and_load=given.marked_line_and_load,
        fastened=given.fastened,
        listed_for_100_percent=bool(given.listed_for_100_percent),
        is_adjustable=bool(given.adjustable),
        highest_setting_a=at.value("highest_setting", f"highest setting of the {given.kind}"),
        has_restricted_access=given.restricted_access,
        is_nonstandard=bool(given.nonstandard),
        marked_voltage=given.voltage,
        is_dc_rated=given.dc_rated,
        polarity=given.polarity,
        is_rating_unknown="rating" in given.unknown,
        answers=at.answers(),
        name=given.name,
        status=given.status,
        comes_with_hardware=at.is_of_catalog("rating"),
        at=at.line(),
    )


def directory_of(at: Cursor) -> Directory | None:
    """Build what the directory shows beside the circuits of the file, None where the file tells none."""
    given: Any = getattr(at.model, "directory", ())
    if not given:
        return None
    rows: list[tuple[Any, Cursor]] = [(row, at.child("directory", index, model=row)) for index, row in enumerate(given)]
    devices = [(bool(row.to_be_removed), _further(row, line)) for row, line in rows if row.device is not None]
    stay, go = (tuple(device for is_removed, device in devices if is_removed is gone) for gone in (False, True))
    return Directory(further=stay, blank=tuple(space for row, _ in rows if row.blank for space in row.spaces), removed=go)


def _further(row: Any, line: Cursor) -> FurtherDevice:
    device = device_of(line.child("device"), row.spaces[0], len(row.spaces))
    return FurtherDevice(spaces=row.spaces, device=device, load=row.load, is_spare=bool(row.spare))


def terminals_of(at: Cursor) -> dict[str, Terminal]:
    """Build the terminals of a piece of equipment, in the order of the file."""
    given: Any = at.model
    return {name: _terminal(at.child("terminals", name, model=terminal), name) for name, terminal in given.terminals.items()}


def _terminal(at: Cursor, name: str) -> Terminal:
    given: Any = at.model
    factory, _ = at.size("factory_conductor")
    return Terminal(
        name=name,
        smallest=given.wire.smallest if given.wire else None,
        largest=given.wire.largest if given.wire else None,
        materials=frozenset(_MATERIAL_MARKS.get(mark.casefold(), mark) for mark in given.materials),
        conductors_per_terminal=at.value("conductors", f"conductors per terminal {name}"),
        temperature_c=at.value("temperature", f"temperature rating of terminal {at.owner}.{name}"),
        torque_lbf_in=at.value("torque", f"tightening torque of terminal {at.owner}.{name}"),
        torque_source=given.torque_source,
        fine_stranded=given.fine_stranded,
        accepts=given.accepts,
        relay=given.relay,
        rating_a=at.value("rating", f"rating of terminal {at.owner}.{name}"),
        built_in=device_of(at.child("device")) if given.device is not None else None,
        largest_device_a=at.value("largest_device", f"largest overcurrent device at terminal {at.owner}.{name}"),
        factory_conductor=factory,
        faces=given.faces,
        is_lay_in=given.lay_in,
    )


def bond_of(at: Cursor) -> NeutralBond | None:
    """Build the neutral bond, None where the file does not say."""
    return _bond(at, "neutral_bond")


def island_bond_of(at: Cursor) -> NeutralBond | None:
    """Build the bond on the island side of a device that switches the neutral, None where the file does not say."""
    return _bond(at, "island_bond")


def _bond(at: Cursor, key: str) -> NeutralBond | None:
    state: str | None = getattr(at.model, key, None)
    if state is None or state == "unknown":
        return None
    return NeutralBond(state=BondState(state), at=at.line(key))


def entry_zones_of(at: Cursor) -> tuple[EntryZone, ...]:
    """Build the rectangles of the walls in which raceways may enter."""
    given: Any = at.model
    return tuple(_entry_zone(at.child("entry_zones", index, model=zone)) for index, zone in enumerate(given.entry_zones))


def _entry_zone(at: Cursor) -> EntryZone:
    given: Any = at.model
    return EntryZone(
        wall=given.wall,
        left_in=at.value("left"),
        right_in=at.value("right"),
        back_in=at.value("back"),
        front_in=at.value("front"),
        largest=given.largest or "",
        at=at.line(),
    )


def wiring_space_of(at: Cursor) -> WiringSpace | None:
    """Build the wiring space, None where the file describes none."""
    if getattr(at.model, "wiring_space", None) is None:
        return None
    space = at.child("wiring_space")
    given: Any = space.model
    return WiringSpace(
        width_in=space.value("width", f"width of the wiring space of {at.owner}", "w"),
        depth_in=space.value("depth", f"depth of the wiring space of {at.owner}", "d"),
        circuits=given.circuits,
        has_splices=given.splices,
        splices_area_in2=space.value("splices_area", f"cross section of the splices in {at.owner}", "A_splice"),
        is_labeled=given.labeled,
        at=space.line(),
    )


def listings_of(given: Any) -> frozenset[str]:
    """Return what a listing covers; that it covers nothing is a fact, said by the word or by a list with it."""
    return frozenset({NONE}) if "listed_as" in given.absent else frozenset(given.listed_as)
