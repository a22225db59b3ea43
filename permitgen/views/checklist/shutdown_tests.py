"""Functional tests of rapid shutdown and of the storage emergency shutdown, with the limits of the edition in force."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.system.equipment.disconnect import RapidShutdownInitiator
from permitgen.system.equipment.photovoltaic import PVArray
from permitgen.system.operating_mode import OperatingMode
from permitgen.views.checklist.line import (
    ChecklistLine,
    ChecklistSection,
    FurtherInput,
    Limits,
    done_line,
    number_line,
    place_of,
    practice,
    record_line,
)
from permitgen.views.wording import value_text

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation

_IRRADIANCE = FurtherInput("irradiance", "Irradiance", "W/m²")
# Poles of a switch whose poles are not stated: as many lines to fill in.
_USUAL_POLES = 2
_ELAPSED = FurtherInput("elapsed", "Seconds after initiation", "s")


def shutdown_tests(evaluation: Evaluation) -> ChecklistSection:
    """Return the shutdown tests by each initiator, in each mode; each pole of an initiator is proven."""
    lines = [
        line
        for item in evaluation.system.equipment.values()
        if isinstance(item, RapidShutdownInitiator)
        for line in _initiator(evaluation, item)
    ]
    intro = (
        "In enough sun that the voltage before is near normal. "
        "Still live during the test: the backup panel on storage, and the service conductors."
    )
    return ChecklistSection("shutdown", "Rapid shutdown and emergency shutdown", intro, tuple(lines))


def _initiator(evaluation: Evaluation, item: RapidShutdownInitiator) -> Iterator[ChecklistLine]:
    modes = [mode for mode in evaluation.system.modes if mode is not OperatingMode.ON_GENERATOR]
    for tag in item.shuts_down:
        array = evaluation.system.equipment.get(tag)
        if isinstance(array, PVArray):
            yield _before(evaluation, item, array)
            for mode in modes:
                yield _after(evaluation, item, array, mode)
            yield _inside(evaluation, array)
    for pole in range(1, (item.poles or _USUAL_POLES) + 1):
        yield done_line(
            f"pole:{item.tag}.{pole}",
            item.tag,
            f"Only pole {pole} of {item.name} opened: shutdown starts",
            "INST",
            source=practice(evaluation, "listed_and_instructed").citation,
            place=place_of(evaluation, item.tag),
            why="each pole carries its own loop; both must work",
            safety="rapid shutdown" if item.shuts_down else "emergency stop",
            proves=(item.tag, ""),
        )
    yield from _storage(evaluation, item)
    if item.shuts_down:
        yield done_line(
            f"restart:{item.tag}",
            item.tag,
            "Initiator back to run: restarts per instructions, nothing starts unexpectedly",
            "INST",
            source=practice(evaluation, "listed_and_instructed").citation,
        )


def _where(array: PVArray) -> str:
    return (
        "on the inverter side of the PV breaker, breaker open"
        if array.branches
        else "at the dc terminals of the inverter or combiner, each pair and each to ground"
    )


def _before(evaluation: Evaluation, item: RapidShutdownInitiator, array: PVArray) -> ChecklistLine:
    return record_line(
        f"shutdown-before:{item.tag}:{array.tag}",
        array.tag,
        f"{array.name}: voltage before initiation {_where(array)}",
        "V",
        "NEC",
        source=practice(evaluation, "rapid_shutdown_outside_array").citation,
        inputs=(_IRRADIANCE,),
        place=place_of(evaluation, item.tag),
    )


def _after(evaluation: Evaluation, item: RapidShutdownInitiator, array: PVArray, mode: OperatingMode) -> ChecklistLine:
    provision = practice(evaluation, "rapid_shutdown_outside_array")
    key = str(mode).replace(" ", "-")
    words = f"{array.name}, {mode}: {item.name} operated; highest voltage outside the array boundary {_where(array)}"
    if not provision.is_in_force:
        return record_line(
            f"shutdown:{item.tag}:{array.tag}:{key}",
            array.tag,
            words,
            "V",
            "NEC",
            source=provision.citation,
            inputs=(_ELAPSED,),
            safety="rapid shutdown",
        )
    within = value_text(provision.value("within_s"))
    return number_line(
        f"shutdown:{item.tag}:{array.tag}:{key}",
        array.tag,
        f"{words}, {within} after initiation",
        Limits(most=provision.value("limit_v")),
        "NEC",
        source=provision.citation,
        expected=f"at most {value_text(provision.value('limit_v'))} within {within}",
        why="a battery keeps ac energized when the utility is lost: the array must still shut down"
        if mode is OperatingMode.ISLANDED
        else "",
        also=((_ELAPSED, Limits(most=provision.value("within_s"))),),
        safety="rapid shutdown",
        proves=(item.tag, array.tag),
        place=place_of(evaluation, item.tag),
    )


def _inside(evaluation: Evaluation, array: PVArray) -> ChecklistLine:
    provision = practice(evaluation, "rapid_shutdown_inside_array")
    limit = f"at most {value_text(provision.value('limit_v'))}" if provision.is_in_force else "per the adopted edition"
    return done_line(
        f"shutdown-inside:{array.tag}",
        array.tag,
        f"{array.name}: inside the boundary {limit} by listing and by number of components, not measured",
        "NEC",
        source=provision.citation,
        why="say “by listing”: nobody measures under the modules",
        photo=True,
    )


def _storage(evaluation: Evaluation, item: RapidShutdownInitiator) -> Iterator[ChecklistLine]:
    provision = practice(evaluation, "ess_emergency_shutdown")
    for tag in item.also_stops:
        unit = evaluation.system.equipment[tag]
        yield done_line(
            f"emergency-shutdown:{item.tag}:{tag}",
            tag,
            f"{unit.name}: {item.name} operated; export to the house stops, output voltage read at the unit",
            "NEC" if provision.is_in_force else "INST",
            source=provision.citation if provision.is_in_force else practice(evaluation, "listed_and_instructed").citation,
            place=place_of(evaluation, tag),
            safety="emergency stop",
            proves=(item.tag, tag),
        )
