"""Fills in what the project left open: the smallest standard choice that passes every rule that limits it.

Walks the standard sizes upward and stops at the first one that no rule refuses. The governing rule is the one that refused
the size before.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cache
from typing import TYPE_CHECKING, Any

from permitgen.code.errors import NotInTableError
from permitgen.code.standard_sizes import standard_ratings_a
from permitgen.evaluation.readings import given_by_reading
from permitgen.evaluation.run_rule import run_rule
from permitgen.rules.given import Given, MissingFactError, NotInForceError
from permitgen.rules.judgement import Judgement, Verdict
from permitgen.rules.quantities.circuit_current import circuit_current
from permitgen.rules.rule import Rule, all_rules
from permitgen.system.equipment.grounding_electrode_system import GroundingElectrodeSystem
from permitgen.system.panel_rows import panel_rows
from permitgen.system.walks.circuit_sides import CircuitRole, role_of
from permitgen.system.walks.in_series import circuits_in_series
from permitgen.values.conductor_size import ALL_SIZES, ConductorSize
from permitgen.values.equation import selected
from permitgen.values.trade_size import TRADE_SIZES

if TYPE_CHECKING:
    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.installed_device import InstalledDevice
    from permitgen.system.raceway import Raceway
    from permitgen.system.system import System

SMALLEST_CHOSEN_A = 15.0
CONDUCTOR, GROUNDING, RACEWAY, DEVICE = "conductor", "equipment grounding conductor", "raceway", "overcurrent device"


@dataclass(frozen=True, slots=True)
class Sizing:
    """One choice the program made: ``what`` of ``tag`` is ``chosen``; ``refused`` is the next smaller and the rule that refused it.

    ``chosen`` empty means that no standard size passes; ``refused_by`` then says why the largest failed. ``missing`` are the facts
    without which nothing could be chosen.
    """

    tag: str
    what: str
    chosen: str
    refused: str
    refused_by: str
    reason: str
    missing: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Choice:
    text: str
    system: System


def size_everything(given: Given) -> tuple[Given, tuple[Sizing, ...]]:
    """Return what rules are given once every open choice is made, and the choices.

    What exists has the size it has: of a circuit that is ``existing`` nothing is chosen, and what is not stated is missing.
    """
    made: list[Sizing] = []
    for step in (_size_devices, _size_conductors, _size_grounding, _size_raceways, _size_electrode_conductor):
        given = step(given, made)
    return given, tuple(made)


@cache
def _rules_that_size(what: str) -> tuple[Rule, ...]:
    return tuple(rule for rule in all_rules() if what in rule.sizes)


def _first_that_passes(
    given: Given, what: str, tag: str, subjects: Callable[[System], Any], choices: Iterable[_Choice], *, keeps_graph: bool = True
) -> tuple[Given, Sizing]:
    """Return the first choice that no rule refuses; none where a fact that the choices need is missing, or a text is not confirmed."""
    refused = ""
    refusal: tuple[Rule, Judgement] | None = None
    try:
        for choice in choices:
            candidate = given.with_sizes(choice.system) if keeps_graph else Given(choice.system, given.code)
            found = _refusal(candidate, what, subjects)
            if found is None:
                return candidate, _sizing(tag, what, choice.text, refused, refusal)
            refused, refusal = choice.text, found
    except MissingFactError as missing:
        return given, Sizing(tag, what, "", "", "", f"not checked: state {', '.join(missing.names)}", missing.names)
    except NotInForceError as missing:
        return given, Sizing(tag, what, "", "", "", f"not checked: {missing.provision.citation}")
    except NotInTableError as missing:
        return given, Sizing(tag, what, "", "", "", f"not checked: {missing}")
    return given, _sizing(tag, what, "", refused, refusal)


def _sizing(tag: str, what: str, chosen: str, refused: str, refusal: tuple[Rule, Judgement] | None) -> Sizing:
    if refusal is None:
        return Sizing(tag, what, chosen, refused, "", "smallest standard size")
    rule, judgement = refusal
    return Sizing(tag, what, chosen, refused, rule.id, judgement.message, judgement.missing if not chosen else ())


def _refusal(candidate: Given, what: str, subjects: Callable[[System], Any]) -> tuple[Rule, Judgement] | None:
    """Return the rule that refuses a choice by any reading of figures with several sources, and its judgement."""
    for given in given_by_reading(candidate):
        for rule in _rules_that_size(what):
            judgement = run_rule(rule, subjects(given.system), given)
            if judgement.verdict in (Verdict.VIOLATED, Verdict.NOT_JUDGED):
                return rule, judgement
    return None


def _size_devices(given: Given, made: list[Sizing]) -> Given:
    for tag, installed in given.system.devices.items():
        if installed.device.rating_a is not None or installed.device.is_rating_unknown or stands_already(given.system, installed):
            continue
        if not _has_least_rating(given, installed):
            made.append(Sizing(tag, DEVICE, "", "", "", f"not checked: state rating of {tag}: nothing says what it has to carry"))
            continue
        given, sizing = _first_that_passes(given, DEVICE, tag, _device(tag), _device_choices(given, installed), keeps_graph=False)
        made.append(sizing)
    return given


def _has_least_rating(given: Given, installed: InstalledDevice) -> bool:
    """Whether a rule asks for a least rating; where none does, as of a main behind a feeder, the smallest choice would be an invention."""
    verdicts = (run_rule(rule, installed, given).verdict for rule in _rules_that_size(DEVICE))
    return any(verdict is not Verdict.DOES_NOT_APPLY for verdict in verdicts)


def stands_already(system: System, installed: InstalledDevice) -> bool:
    """What stands there already has the rating it has; a device at a circuit's end is as old as the circuit.

    Of a device whose circuit the file does not hold nobody knows from it what the device has to carry.
    """
    if installed.circuit:
        return system.circuits[installed.circuit].existing
    if any(row.device is installed.device for row in panel_rows(system, installed.enclosure)):
        return True
    return system.equipment[installed.enclosure].status == "existing"


def _device(tag: str) -> Callable[[System], InstalledDevice]:
    return lambda system: system.devices[tag]


def _device_choices(given: Given, installed: InstalledDevice) -> Iterator[_Choice]:
    currents = [circuit_current(given, circuit).required_a for circuit in circuits_in_series(given.system, installed)]
    # A 10 A device is standard from 2023, but only for circuits of few uses; who wants one writes it.
    for rating in (each for each in standard_ratings_a(given.code) if each >= SMALLEST_CHOSEN_A):
        value = selected(
            rating,
            "a",
            by="next standard rating",
            inputs=tuple(currents),
            symbol="OCPD",
            title=f"overcurrent device {installed.tag}",
            provision=given.provision("standard_ratings"),
        )
        yield _Choice(f"{rating:g} A", given.system.with_device(installed.device, replace(installed.device, rating_a=value)))


def _size_conductors(given: Given, made: list[Sizing]) -> Given:
    for tag, circuit in given.system.circuits.items():
        if circuit.conductors.size is not None or circuit.existing or "size" in circuit.conductors.unknown:
            continue
        choices = (
            _Choice(str(size), given.system.with_sizes_of(_sized(given, tag, size=size))) for size in conductor_candidates(given, circuit)
        )
        given, sizing = _first_that_passes(given, CONDUCTOR, tag, _circuit(tag), choices)
        made.append(sizing)
    return given


def _circuit(tag: str) -> Callable[[System], Circuit]:
    return lambda system: system.circuits[tag]


def _sized(given: Given, tag: str, *, size: ConductorSize | None = None, egc: ConductorSize | None = None) -> Circuit:
    circuit = given.system.circuits[tag]
    conductors = circuit.conductors
    return replace(circuit, conductors=replace(conductors, size=size or conductors.size, egc_size=egc or conductors.egc_size))


def conductor_candidates(given: Given, circuit: Circuit) -> Iterator[ConductorSize]:
    """Yield building wire sizes that have an ampacity at all; smaller ones cannot pass."""
    table = given.table("conductor_ampacity")
    column = f"{circuit.conductors.material}_90c"
    for size in ALL_SIZES:
        if size >= ConductorSize("14") and table.number_at(size, column) is not None:
            yield size


def _size_grounding(given: Given, made: list[Sizing]) -> Given:
    for tag, circuit in given.system.circuits.items():
        conductors = circuit.conductors
        if conductors.egc_size is not None or not conductors.has_wire_egc or conductors.egc_shared_with or conductors.size is None:
            continue
        if circuit.existing or "equipment_ground" in conductors.unknown or role_of(given.system, circuit) is CircuitRole.SERVICE:
            continue
        choices = (
            _Choice(str(size), given.system.with_sizes_of(_sized(given, tag, egc=size)))
            for size in ALL_SIZES
            if ConductorSize("14") <= size
        )
        given, sizing = _first_that_passes(given, GROUNDING, tag, _circuit(tag), choices)
        made.append(sizing)
    return given


def _size_raceways(given: Given, made: list[Sizing]) -> Given:
    for tag, raceway in given.system.raceways.items():
        if raceway.trade_size is not None or raceway.is_size_unknown or not raceway.is_conduit:
            continue
        choices = (
            _Choice(f"{size} in", given.system.with_raceway(_with_trade_size(raceway, size))) for size in trade_sizes(given, raceway)
        )
        given, sizing = _first_that_passes(given, RACEWAY, tag, _raceway(tag), choices)
        made.append(sizing)
    return given


def trade_sizes(given: Given, raceway: Raceway) -> Iterator[str]:
    """Yield the trade sizes of a kind of raceway, smallest first."""
    rows = given.table("raceway_dimensions").rows_of(raceway.kind)
    yield from (size for size in TRADE_SIZES if size in rows and size != "3/8")


def _raceway(tag: str) -> Callable[[System], Raceway]:
    return lambda system: system.raceways[tag]


def _equipment(tag: str) -> Callable[[System], Equipment]:
    return lambda system: system.equipment[tag]


def _with_trade_size(raceway: Raceway, size: str) -> Raceway:
    return replace(raceway, trade_size=size)


def _size_electrode_conductor(given: Given, made: list[Sizing]) -> Given:
    for item in given.system.equipment.values():
        if not isinstance(item, GroundingElectrodeSystem) or item.conductor_size is not None or not item.lands_at:
            continue
        # What is there already is looked at, not chosen.
        if "conductor" in item.absent | item.unknown or item.is_individual or item.status == "existing":
            continue
        choices = (
            _Choice(str(size), given.system.with_equipment(replace(item, conductor_size=size)))
            for size in ALL_SIZES
            if size >= ConductorSize("8")
        )
        given, sizing = _first_that_passes(
            given, "grounding electrode conductor", item.tag, _equipment(item.tag), choices, keeps_graph=False
        )
        made.append(sizing)
    return given
