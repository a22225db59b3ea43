"""The generator test: a machine that starts by itself, or one that is brought, plugged in and started by hand."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.code.equations.field_tests import lower_voltage_v, upper_voltage_v
from permitgen.system.equipment.generator import Generator, PowerInlet
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.trials import generator_stop_trial, parting_trials
from permitgen.views.checklist.island_tests import Asked, neutral_in, nothing_comes_back
from permitgen.views.checklist.line import ChecklistLine, ChecklistSection, Limits, done_line, number_line, place_of, practice, record_line
from permitgen.views.checklist.proof import Proof, called, stop_proof

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.system import System


def generator_tests(evaluation: Evaluation) -> ChecklistSection:
    """Return the generator test; empty where there is neither a generator nor an inlet for one."""
    items = evaluation.system.equipment.values()
    lines = [line for item in items if isinstance(item, PowerInlet) for line in _inlet(evaluation, item)]
    lines += [line for item in items if isinstance(item, Generator) for line in _generator(evaluation, item)]
    return ChecklistSection(
        "generator",
        "Generator test",
        "Exhaust and carbon monoxide protection are by other trades: confirm that they are done.",
        tuple(lines),
        steps=True,
    )


def _inlet(evaluation: Evaluation, inlet: PowerInlet) -> Iterator[ChecklistLine]:
    dead = practice(evaluation, "inlet_pins_dead")
    yield done_line(
        f"inlet:dead:{inlet.tag}",
        inlet.tag,
        "Utility on, plug out, breakers unchanged: no voltage at the pins of the inlet",
        "NEC",
        source=dead.citation,
        place=place_of(evaluation, inlet.tag),
        why="pins fed from the house would be bare live parts",
    )
    yield done_line(
        f"inlet:cord:{inlet.tag}",
        inlet.tag,
        "Cord set handed over: listed, rated for the inlet, connector locks on the pins, inlet cover closes without it",
        "INST",
        source=practice(evaluation, "listed_and_instructed").citation,
        place=place_of(evaluation, inlet.tag),
    )


def _generator(evaluation: Evaluation, machine: Generator) -> Iterator[ChecklistLine]:
    tag, instructed = machine.tag, practice(evaluation, "listed_and_instructed").citation
    where = place_of(evaluation, tag)
    started = "Plugged in, started by hand" if machine.is_portable else "Started by its control contact"
    yield record_line(
        f"generator:start:{tag}", tag, f"{started}: time until voltage is steady", "s", "INST", source=instructed, place=where
    )
    yield from _output(evaluation, tag, where)
    kinds = {source.kind for source in evaluation.system.sources.values()}
    if "photovoltaic" in kinds:
        yield done_line(
            f"generator:solar-off:{tag}",
            tag,
            "Solar disconnected from the bus: relay open or inverters stopped",
            "INST",
            source=instructed,
            why="solar would feed power into the generator",
        )
    if "energy storage" in kinds:
        yield done_line(f"generator:charge-limit:{tag}", tag, "Charging of storage is limited or stopped", "INST", source=instructed)
    yield from neutral_in(evaluation, OperatingMode.ON_GENERATOR)
    yield from _interlock(evaluation, machine)
    yield from _stopped(evaluation, machine, where)
    back = (
        "Back on utility power; generator cooled down, plug out"
        if machine.is_portable
        else "Back on utility power; cool-down complete; exercise schedule set"
    )
    yield done_line(f"generator:back:{tag}", tag, back, "INST", source=instructed)


def _interlock(evaluation: Evaluation, machine: Generator) -> Iterator[ChecklistLine]:
    """A switch that parts by itself is measured with the generator running; one that is worked by hand is tried with all power off."""
    system, required = evaluation.system, practice(evaluation, "transfer_equipment").citation
    trials = dict(parting_trials(system, OperatingMode.ON_GENERATOR))
    for switch, trial in trials.items():
        yield nothing_comes_back(
            evaluation,
            f"generator:interlock:{machine.tag}" if len(trials) == 1 else f"generator:interlock:{machine.tag}:{switch}",
            switch,
            trial,
            Asked(
                "Interlock: generator running, service open; highest voltage on the utility side",
                required,
                "utility and generator must never both be closed; with the service open it shows without harm",
                "generator interlock",
            ),
        )
    if not trials:
        yield done_line(
            f"interlock:{machine.tag}",
            machine.tag,
            "Interlock tried by hand, all power off: with either switch on, the other cannot be moved to on",
            "NEC",
            safety="generator interlock",
            source=required,
            why="utility and generator must never both be closed",
            proof=_by_hand(system),
        )


def _by_hand(system: System) -> Proof:
    pairs = [interlock.not_both_closed for interlock in system.interlocks if interlock.not_both_closed]
    names = "; ".join(" and ".join(called(system.handles[h]) for h in pair if h in system.handles) for pair in pairs)
    return Proof(
        mode="all power off",
        meter="none: the handles themselves" + (f" ({names})" if names else ""),
        closed="one of the two, then the other",
        before="each can be moved to on by itself while the other is off",
        otherwise="both can be on together",
    )


def _stopped(evaluation: Evaluation, machine: Generator, where: str) -> Iterator[ChecklistLine]:
    """An emergency stop is due at a permanently installed machine only."""
    if machine.is_portable and not machine.has_outside_stop:
        return
    stop = practice(evaluation, "generator_emergency_shutdown")
    handles = [h for h in evaluation.system.handles.values() if h.kind == "generator stop" and machine.tag in h.stops]
    trial = next((found for h in handles if (found := generator_stop_trial(evaluation.system, h.id, machine.tag))), None)
    is_due = stop.is_in_force and not machine.is_portable
    yield done_line(
        f"generator:stop:{machine.tag}",
        machine.tag,
        "Emergency shutdown pressed: the generator stops and does not restart by itself",
        "NEC" if is_due else "INST",
        source=stop.citation if is_due else practice(evaluation, "listed_and_instructed").citation,
        place=where,
        safety="emergency stop",
        proves=(machine.tag, machine.tag),
        proof=stop_proof(evaluation.system, machine.tag, trial) if trial is not None else None,
    )


def _output(evaluation: Evaluation, tag: str, where: str) -> Iterator[ChecklistLine]:
    test = practice(evaluation, "generator_running_test")
    tolerance = test.value("tolerance_percent")
    nominal = next(
        (getattr(item, "line_to_line_v", None) for item in evaluation.system.equipment.values() if item.kind == "utility_service"), None
    )
    if nominal is not None:
        limits = Limits(
            least=lower_voltage_v.derive(nominal_v=nominal, tolerance_percent=tolerance),
            most=upper_voltage_v.derive(nominal_v=nominal, tolerance_percent=tolerance),
        )
        yield number_line(
            f"generator:voltage:{tag}", tag, "Voltage, L1 to L2, under some load", limits, "CP", source=test.citation, place=where
        )
    frequency = Limits(least=test.value("least_hz"), most=test.value("most_hz"))
    yield number_line(f"generator:frequency:{tag}", tag, "Frequency under some load", frequency, "CP", source=test.citation, place=where)
