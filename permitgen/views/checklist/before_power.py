"""Before any power: papers match the box, sources are locked, absence of voltage is proven, override and jumpers stand as designed."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.system.equipment.panelboard import Panelboard
from permitgen.system.neutral_bond import BondState
from permitgen.system.walks.batteries import batteries_among
from permitgen.system.walks.isolation import has_loads_beyond, service_handles
from permitgen.system.walks.neutral_bonds import service_disconnect_enclosures
from permitgen.system.walks.rapid_shutdown import initiators
from permitgen.values.origin import ProjectLine
from permitgen.views.checklist.line import TEXT, ChecklistLine, ChecklistSection, done_line, match_line, place_of, practice, rating_choices
from permitgen.views.wording import value_text

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.power_source import PowerSource
    from permitgen.system.system import System
    from permitgen.values.value import Value

# What a nameplate must agree with, by attribute of the equipment: project-file key and words.
_NAMEPLATE = (
    ("busbar_rating_a", "busbar", "Busbar rating"),
    ("contactor_rating_a", "contactor_rating", "Contactor rating"),
    ("energy_kwh", "energy", "Rated energy"),
    ("unit_energy_kwh", "unit_energy", "Rated energy of each unit"),
    ("units", "units", "Number of units installed"),
    ("output_a", "output", "Output current"),
    ("module_count", "modules", "Number of modules installed"),
    ("current_a", "current", "Rated current"),
    ("rating_a", "rating", "Rating"),
)


def before_power(evaluation: Evaluation) -> ChecklistSection:
    """Return the lines that come before any conductor may be energized."""
    lines = (*_papers(evaluation), *_locked(evaluation), *_absence_of_voltage(evaluation), *_state_of_boxes(evaluation))
    intro = "Energize nothing until this part is complete. The utility side of the service stays live until the utility disconnects it."
    return ChecklistSection("before", "Before any power", intro, lines)


def _papers(evaluation: Evaluation) -> Iterator[ChecklistLine]:
    newest = evaluation.system.project.revision
    revision = f"revision {newest.number} of {newest.date}" if newest is not None else "the permitted revision"
    yield done_line(
        "papers:revision", "", f"The plans in hand are {revision}, as permitted", "INST", why="checking against old plans proves nothing"
    )
    for item in evaluation.system.equipment.values():
        if item.status == "existing" and not isinstance(item, Panelboard):
            continue
        yield from _nameplate(item, rating_choices(evaluation))
        if item.has_serial_number:
            yield ChecklistLine(
                id=f"serial:{item.tag}",
                tag=item.tag,
                instruction="Serial number of the nameplate",
                rule=TEXT,
                basis="INST",
                why="for warranty and recalls; kept in the private record only",
                photo=True,
                place=place_of(evaluation, item.tag),
                is_private=True,
            )


def _nameplate(item: Equipment, ratings: tuple[str, ...]) -> Iterator[ChecklistLine]:
    where = item.place.description if item.place is not None else ""
    if item.model:
        yield match_line(
            f"model:{item.tag}", item.tag, "Model on the nameplate", f"equipment.{item.tag}.model", item.model, place=where, photo=True
        )
    for attribute, key, words in _NAMEPLATE:
        stated: Value | None = getattr(item, attribute, None)
        if stated is not None and isinstance(stated.origin, ProjectLine):
            choices = ratings if stated.unit == "a" else ()
            path = f"equipment.{item.tag}.{key}"
            yield match_line(
                f"{key}:{item.tag}", item.tag, f"{words} on the nameplate", path, _as_written(stated), choices=choices, place=where
            )
    main = getattr(item, "main", None)
    if main is not None and main.rating_a is not None:
        path = f"equipment.{item.tag}.main.rating"
        yield match_line(f"main:{item.tag}", item.tag, "Main breaker", path, _as_written(main.rating_a), choices=ratings, place=where)


def _as_written(value: Value) -> str:
    own = value.origin.spelled if isinstance(value.origin, ProjectLine) else ""
    return own or value_text(value)


def _locked(evaluation: Evaluation) -> Iterator[ChecklistLine]:
    system = evaluation.system
    source = practice(evaluation, "electrically_safe_condition").citation
    by_tag: dict[str, PowerSource] = {}
    for found in system.sources.values():
        by_tag.setdefault(found.tag, found)
    for tag, found in by_tag.items():
        yield done_line(
            f"locked:{tag}",
            tag,
            f"{system.equipment[tag].name}: {_how_locked(system, found)}",
            "70E",
            source=source,
            place=place_of(evaluation, tag),
            why="each source feeds the house independently",
        )


_LOCKED = {
    "photovoltaic": "disconnect or breakers open and locked",
    "energy storage": "Unit switched off, its disconnect open and locked",
    "battery inverter": "Inverter switched off, its disconnect open and locked",
    "generator": "Start disabled (control locked off or starting battery lifted), breaker open",
    "vehicle": "Vehicle unplugged, disconnect open and locked",
}


def _how_locked(system: System, source: PowerSource) -> str:
    """Return how a source is kept from feeding the house while somebody works: what there is of switches, in words."""
    sort = _sort(system, source)
    if sort == "utility":
        count = sum(has_loads_beyond(system, handle) for handle in service_handles(system))
        return (
            f"{'Service disconnect' if count < 2 else f'Each of {count} service disconnects'} open and locked; the utility side stays live"
        )
    if sort == "photovoltaic":
        switched = any(source.tag in initiator.arrays for initiator in initiators(system))
        return f"Initiator off, {_LOCKED[sort]}" if switched else _LOCKED[sort].capitalize()
    return _LOCKED.get(sort, "source off and locked")


def _sort(system: System, source: PowerSource) -> str:
    is_inverter = source.kind == "energy storage" and not batteries_among(system, (source.tag,))
    return "battery inverter" if is_inverter else source.kind


def _absence_of_voltage(evaluation: Evaluation) -> Iterator[ChecklistLine]:
    source = practice(evaluation, "electrically_safe_condition").citation
    tests = {bus.tag: "busbar: each leg to the other, to neutral and to ground" for bus in evaluation.system.busbars.values()}
    for item in evaluation.system.equipment.values():
        if item.kind == "microgrid_interconnect_device":
            tests[item.tag] = "both sides of the contactor and every source terminal: each leg to the other, to neutral and to ground"
        if item.kind == "dc_combiner":
            tests[item.tag] = "dc busbar and both sides of each fuse: pole to pole and each pole to ground"
    for tag, what in tests.items():
        yield done_line(
            f"dead:{tag}",
            tag,
            f"Absence of voltage verified: {what}. Tester checked on a known live source before and after",
            "70E",
            source=source,
            place=place_of(evaluation, tag),
        )


def _state_of_boxes(evaluation: Evaluation) -> Iterator[ChecklistLine]:
    instructed = practice(evaluation, "listed_and_instructed").citation
    for item in evaluation.system.equipment.values():
        if item.word("position_before_energizing"):
            yield done_line(
                f"override:{item.tag}",
                item.tag,
                f"Override is set to “{item.word('position_before_energizing')}”",
                "INST",
                source=instructed,
                photo=True,
                place=place_of(evaluation, item.tag),
                why="equipment powered up in another position may close onto live sources",
            )
    yield from _bonds(evaluation)
    bodies = [item for item in evaluation.system.equipment.values() if item.busbars()]
    for item in bodies:
        yield done_line(
            f"clean:{item.tag}",
            item.tag,
            "Shipping parts, desiccant and metal chips removed; unused openings closed; enclosure secured and level",
            "NEC",
            source=practice(evaluation, "panel_unused_openings").citation,
            place=place_of(evaluation, item.tag),
        )
        yield done_line(
            f"space:{item.tag}",
            item.tag,
            "Working space (depth, width, height) and the way in past open doors are clear",
            "NEC",
            source=practice(evaluation, "working_space").citation,
            place=place_of(evaluation, item.tag),
        )
        if item.place is not None and item.place.outdoors is False:
            yield done_line(
                f"light:{item.tag}",
                item.tag,
                "Working space is lit, not by automatic controls alone",
                "NEC",
                source=practice(evaluation, "working_space_lighting").citation,
                place=place_of(evaluation, item.tag),
            )
    yield from _barriers(evaluation)


def _barriers(evaluation: Evaluation) -> Iterator[ChecklistLine]:
    """The parts of service equipment that stay live when its main is off."""
    for tag in service_disconnect_enclosures(evaluation.system):
        yield done_line(
            f"barrier:{tag}",
            tag,
            "Barriers cover the line-side parts that stay live with the main off: no bare part can be touched",
            "NEC",
            source=practice(evaluation, "feeder_tap_barriers").citation,
            photo=True,
            place=place_of(evaluation, tag),
            why="the line side stays live until the utility disconnects it",
        )


def _bonds(evaluation: Evaluation) -> Iterator[ChecklistLine]:
    source = practice(evaluation, "single_neutral_bond").citation
    states = tuple(state.value for state in BondState)
    for item in evaluation.system.equipment.values():
        if item.neutral_bond is None:
            continue
        yield match_line(
            f"bond:{item.tag}",
            item.tag,
            "Neutral-to-ground bonding jumper",
            f"equipment.{item.tag}.neutral_bond",
            item.neutral_bond.state.value,
            choices=states,
            photo=True,
            source=source,
            place=place_of(evaluation, item.tag),
            why="one bond only; a second one puts neutral current on metal parts",
        )
