"""A test that cannot fail proves nothing: each safety test is tried on the graph of a sound house, and of one with the fault it looks for.

What is measured where: 690.12(B) for rapid shutdown (30 V within 30 s outside the array boundary), 706.15 and 445.19 for emergency stops,
705.40 for back-feed, 702.5 for the interlock, 250.24(A)(5) for the one bond (sections from memory). An inverter that follows the grid
stops when its ac is gone (IEEE 1547, unintentional islanding): a breaker that is open before the test stops it, whatever the switch does.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluate import evaluate
from permitgen.evaluation.field_verdict import FieldEntry, FieldVerdict, judge_entry
from permitgen.project.load import load_project
from permitgen.system.equipment.disconnect import RapidShutdownInitiator
from permitgen.system.equipment.generator import Generator
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.neutral_bonds import neutrals_to_the_bond
from permitgen.system.walks.rapid_shutdown import initiators
from permitgen.system.walks.trials import (
    emergency_stop_trial,
    generator_stop_trial,
    is_proof,
    parting_trials,
    readings,
    shutdown_trials,
)
from permitgen.views.field_checklist import view_of

ROOT = Path(__file__).resolve().parents[2]
HOUSES = [ROOT / "demo_project", *sorted((ROOT / "tests" / "topologies").glob("b*.yaml"))]
# Of the houses every third, and the same ones for each test: what is made of a house is made for all tests of it.
pytestmark = pytest.mark.sample(every=3)


@pytest.fixture(scope="module", params=HOUSES, ids=lambda path: path.stem)
def system(request):
    return load_project(request.param).system


@pytest.fixture(scope="module")
def checklist(system):
    return view_of(evaluate(system, CodeBook(2023), with_suggestions=False), "ab" * 32)


def all_trials(system):
    yield from (trial for _, _, trial in shutdown_trials(system))
    for item in system.equipment.values():
        if isinstance(item, RapidShutdownInitiator):
            yield from (emergency_stop_trial(system, item.tag, tag) for tag in item.also_stops)
    yield from (generator_stop_trial(system, h.id, h.tag) for h in system.handles.values() if h.kind == "generator stop")
    for mode in system.modes:
        yield from (trial for _, trial in parting_trials(system, mode))


def test_every_trial_reads_otherwise_in_a_house_with_the_fault(system):
    for trial in all_trials(system):
        assert trial is not None, "a stop for which no test can be made"
        assert is_proof(system, trial)
        assert readings(system, trial, trial.after) != readings(system, trial, trial.faulty)


def test_each_initiator_is_tried_with_each_of_its_arrays_in_each_mode_in_which_they_run(system, checklist):
    for initiator in initiators(system):
        for array in initiator.arrays:
            lines = [line.id for line in checklist.lines if line.id.startswith(f"shutdown:{initiator.item.tag}:{array}:")]
            assert lines, f"{initiator.item.tag} is never tried with {array}"
            if initiator.by_control and OperatingMode.ISLANDED in system.modes:
                assert len(lines) == 2, "with the utility and islanded"


def test_a_breaker_opened_beforehand_would_hide_the_fault_of_a_module_inverter(system):
    """The arrangement of before: meter on the array's side of an open breaker. It reads nothing, wired or not."""
    for _, _, trial in shutdown_trials(system):
        own = [handle for _, handle in trial.meters if handle and handle not in trial.after.opened]
        if own:
            hidden = frozenset(own)
            sound, faulty = (replace(s, opened=s.opened | hidden) for s in (trial.after, trial.faulty))
            assert trial.faulty.runs_on or not any(readings(system, trial, faulty)), "the fault would have shown behind the open breaker"
            assert readings(system, trial, sound) == tuple(() for _ in trial.meters)
            assert not set(own) & trial.before.opened, "the line leaves the breaker closed"


def test_each_way_back_to_the_utility_is_measured(system, checklist):
    """One test for each contactor that islands; for a generator one for each switch, or its handles are tried by hand."""
    ids = {line.id for line in checklist.lines}
    if OperatingMode.ISLANDED in system.modes:
        assert {f"island:backfeed:{switch.tag}" for switch in system.islanding_switches} <= ids
    for item in system.equipment.values():
        if isinstance(item, Generator):
            assert [id_ for id_ in ids if id_.startswith((f"generator:interlock:{item.tag}", f"interlock:{item.tag}"))]


def test_each_safety_test_says_how_it_is_made(checklist):
    for line in checklist.lines:
        if line.safety:
            proof = line.proof
            assert proof is not None, line.id
            assert all((proof.mode, proof.meter, proof.closed, proof.before, proof.otherwise)), line.id
        else:
            assert line.proof is None, line.id


def test_a_timed_or_measured_test_that_was_not_live_before_is_not_done(checklist):
    """What reads the same before and after proves nothing, however good the reading is."""
    found = [line for line in checklist.lines if line.safety and any(also.is_condition for also in line.rule.also)]
    for line in found:
        inputs = {also.name: "0" for also in line.rule.also}
        dead = judge_entry(line.rule, FieldEntry(answer="value", value="0", inputs=inputs))
        assert dead.verdict is FieldVerdict.NOT_DONE, line.id
        assert dead.why.endswith("so the test proves nothing")
        live = judge_entry(line.rule, FieldEntry(answer="value", value="0", inputs=inputs | {"before": "240"}))
        assert live.verdict is FieldVerdict.PASSES, line.id
        failed = judge_entry(line.rule, FieldEntry(answer="value", value="240", inputs=inputs))
        assert failed.verdict is FieldVerdict.FAILS, "a reading that must not be there fails, whatever was seen before"
    wanted = [line for line in checklist.lines if line.safety in ("back-feed",) or line.id.startswith("shutdown:")]
    assert set(wanted) <= {*found, *(line for line in wanted if line.rule.kind == "done")}


def test_a_neutral_that_still_leads_to_the_bond_would_hide_a_second_one(system, checklist):
    """With every named neutral off the bar no enclosure that is bonded is left on it; with one of them on it, one is."""
    for line in checklist.lines:
        if line.id.startswith("neutral-open:"):
            lifted = neutrals_to_the_bond(system, line.tag)
            assert all(tag in line.instruction for tag in lifted)
            assert not bonded_with(system, line.tag, lifted)
            for circuit in lifted:
                assert bonded_with(system, line.tag, tuple(tag for tag in lifted if tag != circuit)), "this one need not be lifted"


def bonded_with(system, tag, lifted):
    starts = [node for link in system.graph.links for node in (link.first, link.second) if node.partition(".")[0] == tag]
    reached = system.graph.reach(starts, lambda link: link.carries_neutral and not link.is_converter and link.circuit not in lifted)
    tags = {node.partition(".")[0] for node in reached} - {tag}
    items = [system.equipment[other] for other in tags if other in system.equipment]
    return [item.tag for item in items if item.neutral_bond is not None and item.neutral_bond.state.is_bonded]


def test_insulation_is_tested_with_both_ends_free(system, checklist):
    for circuit in system.circuits.values():
        line = checklist.by_id.get(f"insulation:{circuit.tag}")
        if line is not None:
            assert "both ends disconnected" in line.proof.closed
            assert f"({circuit.start})" in line.proof.closed
            assert f"({circuit.finish})" in line.proof.closed


def test_unbalance_shows_a_lost_neutral():
    """Two loads in series on 240 V without a neutral divide it as their resistances (Ohm's law): 1500 W and 100 W give 15 V and 225 V.

    With the loads alike both legs read 120 V, neutral or not: so the line asks for the load on one leg alone.
    """
    demo = load_project(ROOT / "demo_project").system
    line = view_of(evaluate(demo, CodeBook(2023), with_suggestions=False), "ab" * 32).by_id["island:unbalance"]
    assert "one leg" in line.proof.before
    for watts, verdict in (((1500, 100), FieldVerdict.FAILS), ((800, 800), FieldVerdict.PASSES)):
        ohms = [120**2 / each for each in watts]
        legs = [240 * each / sum(ohms) for each in ohms]
        entry = FieldEntry(answer="value", value=f"{legs[0]:.1f}", inputs={"other_leg": f"{legs[1]:.1f}"})
        assert judge_entry(line.rule, entry).verdict is verdict
