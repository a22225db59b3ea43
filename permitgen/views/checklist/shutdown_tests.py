"""Functional tests of rapid shutdown and of the storage emergency shutdown, with the limits of the edition in force.

Each is a trial found on the graph (``walks/trials.py``): the initiator alone is opened, what keeps the array running stays closed.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.system.equipment.disconnect import RapidShutdownInitiator
from permitgen.system.equipment.photovoltaic import PVArray
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.rapid_shutdown import Initiator, initiators
from permitgen.system.walks.trials import Trial, emergency_stop_trial, shutdown_trials
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
from permitgen.views.checklist.proof import Proof, array_proof, stop_proof
from permitgen.views.wording import value_text

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation

_IRRADIANCE = FurtherInput("irradiance", "Irradiance", "W/m²")
_BEFORE = FurtherInput("before", "Voltage before, array producing", "V")
_ELAPSED = FurtherInput("elapsed", "Seconds after initiation", "s")
# Poles of a switch whose poles are not stated: as many lines to fill in.
_USUAL_POLES = 2
_TO_COMMAND = "the switch alone is opened: what the array needs in order to run stays closed"
_BY_AC = "the switch takes the ac away, and what is proven is that the array shuts down without it and feeds nothing back"


def shutdown_tests(evaluation: Evaluation) -> ChecklistSection:
    """Return the tests made with the utility: by each initiator, each of its arrays, and each pole of a switch made for it."""
    lines = [
        *rapid_shutdown_in(evaluation, OperatingMode.WITH_UTILITY),
        *emergency_stops_in(evaluation, OperatingMode.WITH_UTILITY),
        *(line for initiator in initiators(evaluation.system) for line in _initiator(evaluation, initiator)),
    ]
    intro = (
        "In enough sun that the voltage before is near normal, with the breakers of the array closed: a breaker that is open stops the "
        "inverters by itself, and the switch would not have been tried."
    )
    return ChecklistSection("shutdown", "Rapid shutdown, with the utility", intro, tuple(dict.fromkeys(lines)))


def rapid_shutdown_in(evaluation: Evaluation, mode: OperatingMode) -> Iterator[ChecklistLine]:
    """Yield the rapid shutdown tests that are made in a mode."""
    for initiator, array, trial in shutdown_trials(evaluation.system):
        if trial.mode is mode:
            yield _shut_down(evaluation, initiator, array, trial)


def emergency_stops_in(evaluation: Evaluation, mode: OperatingMode) -> Iterator[ChecklistLine]:
    """Yield the tests of emergency shutdown of storage that are made in a mode; one that the graph cannot prove stands with the utility."""
    for item in evaluation.system.equipment.values():
        if isinstance(item, RapidShutdownInitiator):
            for tag in item.also_stops:
                trial = emergency_stop_trial(evaluation.system, item.tag, tag)
                if (trial.mode if trial is not None else OperatingMode.WITH_UTILITY) is mode:
                    yield _storage(evaluation, item, tag, trial)


def _initiator(evaluation: Evaluation, initiator: Initiator) -> Iterator[ChecklistLine]:
    item, system = initiator.item, evaluation.system
    arrays = [system.equipment[tag] for tag in initiator.arrays]
    for array in arrays:
        if isinstance(array, PVArray):
            yield _inside(evaluation, array)
    if isinstance(item, RapidShutdownInitiator):
        yield from _poles(evaluation, item)
    if arrays:
        yield done_line(
            f"restart:{item.tag}",
            item.tag,
            f"{item.name} back to run: restarts per instructions, nothing starts unexpectedly",
            "INST",
            source=practice(evaluation, "listed_and_instructed").citation,
        )


def _poles(evaluation: Evaluation, item: RapidShutdownInitiator) -> Iterator[ChecklistLine]:
    """Each pole carries a loop of its own: the test of the whole switch, made again with one pole."""
    proof = _proof_of_poles(evaluation, item)
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
            proof=proof,
        )


def _proof_of_poles(evaluation: Evaluation, item: RapidShutdownInitiator) -> Proof | None:
    system = evaluation.system
    for initiator, array, trial in shutdown_trials(system):
        if initiator.item is item:
            return array_proof(system, array, trial)
    trials = ((tag, emergency_stop_trial(system, item.tag, tag)) for tag in item.also_stops)
    return next((stop_proof(system, tag, trial) for tag, trial in trials if trial is not None), None)


def _shut_down(evaluation: Evaluation, initiator: Initiator, array: PVArray, trial: Trial) -> ChecklistLine:
    provision = practice(evaluation, "rapid_shutdown_outside_array")
    item = initiator.item
    id_ = f"shutdown:{item.tag}:{array.tag}:{str(trial.mode).replace(' ', '-')}"
    proof = array_proof(evaluation.system, array, trial)
    switch = item.name if initiator.by_control else evaluation.system.handles[initiator.handle].name
    why = _TO_COMMAND if initiator.by_control else _BY_AC
    if trial.mode is OperatingMode.ISLANDED:
        why = f"a battery keeps ac energized when the utility is lost: the array must still shut down; {why}"
    if trial.watched:
        return done_line(
            id_,
            array.tag,
            f"{array.name}, {trial.mode}: {switch} operated; its output stops",
            "NEC",
            source=provision.citation,
            why=f"another source keeps the voltage there, so that the voltage tells nothing; {why}",
            safety="rapid shutdown",
            proves=(item.tag, array.tag),
            proof=proof,
            place=place_of(evaluation, item.tag),
        )
    words = f"{array.name}, {trial.mode}: {switch} operated; highest voltage outside the array boundary"
    if not provision.is_in_force:
        return record_line(
            id_,
            array.tag,
            words,
            "V",
            "NEC",
            source=provision.citation,
            inputs=(_BEFORE, _ELAPSED, _IRRADIANCE),
            why=why,
            safety="rapid shutdown",
            proof=proof,
            place=place_of(evaluation, item.tag),
        )
    limit, within = provision.value("limit_v"), value_text(provision.value("within_s"))
    return number_line(
        id_,
        array.tag,
        f"{words}, {within} after initiation",
        Limits(most=limit),
        "NEC",
        source=provision.citation,
        expected=f"at most {value_text(limit)} within {within}",
        why=why,
        before=((_BEFORE, Limits(least=limit)),),
        also=((_ELAPSED, Limits(most=provision.value("within_s"))),),
        safety="rapid shutdown",
        proves=(item.tag, array.tag),
        proof=proof,
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


def _storage(evaluation: Evaluation, item: RapidShutdownInitiator, tag: str, trial: Trial | None) -> ChecklistLine:
    provision = practice(evaluation, "ess_emergency_shutdown")
    unit = evaluation.system.equipment[tag]
    return done_line(
        f"emergency-shutdown:{item.tag}:{tag}",
        tag,
        f"{unit.name}: {item.name} operated; export to the house stops, output voltage read at the unit",
        "NEC" if provision.is_in_force else "INST",
        source=provision.citation if provision.is_in_force else practice(evaluation, "listed_and_instructed").citation,
        place=place_of(evaluation, tag),
        safety="emergency stop",
        proves=(item.tag, tag),
        proof=stop_proof(evaluation.system, tag, trial) if trial is not None else None,
    )
