"""Steps that are needed are named: each main of a panel without one, each step before somebody works at the modules.

NEC 230.71 permits six service disconnects, so that a panel of that time has no main and each of its breakers is one; common practice, no
published source: what a person is told to open first is everything that keeps the modules' circuits in use.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluate import evaluate
from permitgen.project.load import build_project, load_project
from permitgen.reading.reader import read_text
from permitgen.system.walks.isolation import left_running, shutdown_steps
from permitgen.views.checklist.before_power import before_power
from permitgen.views.emergency import emergency_of
from permitgen.views.placard import offline_text, placards_of
from permitgen.views.record_owner import owner_text

HERE = Path(__file__).parent
HOMES = {path.stem: path for path in [*sorted(HERE.glob("b*.yaml")), HERE.parents[1] / "demo_project" / "project.yaml"]}

# A panel of 1965 with four mains, of which one feeds the lighting panel; solar tapped ahead of it.
WITHOUT_A_MAIN = """
format: 2
project: {name: Four mains, number: "1", address: 1 Fen Row, revisions: [{number: 0, date: 2026-11-01, reason: First, by: A}]}
jurisdiction: {name: Eddle, authority: Building Department, edition: 2017}
site: {dwelling: one-family, climate: {record_low: -15 °C, design_high: 33 °C, source: invented}}
catalog:
  mod: {kind: module, power: 405 W, voc: 37.2 V, isc: 13.9 A, voc_coefficient: -0.27 %/°C}
  mi: {kind: module_inverter, output: 1.38 A, ac_voltage: 240 V, output_power: 330 VA, largest_branch_device: 20 A, interactive_listed: yes}
equipment:
  UTIL: {kind: utility_service, voltage: 120/240 V}
  TJB: {kind: junction_box, line_side_connectors: marked for the line side, place: {outdoors: yes}}
  OLD:
    kind: panelboard
    name: Old panel
    status: existing
    role: service equipment
    busbar: 100 A
    main: none
    spaces: 12
    neutral_bond: installed
    directory: |
      1,3   50A 2P K1 "RANGE" existing
      2,4   30A 2P K2 "DRYER" existing
      5,7   30A 2P "WORKSHOP" existing
      6,8   30A 2P spare
      9,11  50A 2P FL "LIGHTING MAIN" existing
      rest  blank
    place: {description: hall, space: hall, readily_accessible: yes}
  LOW: {kind: panelboard, status: existing, busbar: 100 A, main: none, neutral_bond: removed, place: {description: hall, space: hall}}
  PVS:
    kind: disconnect
    rating: 60 A
    poles: 2
    purpose: pv system
    neutral_bond: installed
    directory: |
      fuses 40A 2P 100kA "SOLAR" new
    place: {description: right wall outside, outdoors: yes, readily_accessible: yes}
  PV1: {kind: pv_array, module: mod, module_inverter: mi, modules: 6, branches: {A: 6}, on_building: none}
raceways:
  W1: {kind: SEU cable, length: 20 ft, place: outdoors}
  R2: {kind: EMT, trade_size: 1 in, length: 6 ft, place: outdoors}
circuits:
  S1: {from: UTIL, to: TJB, runs: W1, existing: yes, conductors: {size: 4 AWG, insulation: RHW, neutral: 4 AWG}}
  S3: {from: TJB, to: OLD.main, runs: W1, existing: yes, conductors: {size: 4 AWG, insulation: RHW, neutral: 4 AWG}}
  T1: {from: TJB, to: PVS.line, runs: R2, conductors: {size: 6 AWG, insulation: THWN-2, neutral: 6 AWG}}
  CA: {from: PV1.A, to: PVS.load, runs: R2, conductors: {size: 8 AWG, insulation: THWN-2, neutral: no}}
  FL: {from: OLD.9, to: LOW.main, runs: R2, existing: yes, conductors: {size: 6 AWG, insulation: THWN-2, neutral: 6 AWG}}
loads:
  K1: {name: Range, panel: OLD, category: cooking, power: 10 kW}
  K2: {name: Dryer, panel: OLD, category: dryer, power: 5 kW}
"""
MAINS = {"OLD.1", "OLD.2", "OLD.5", "OLD.9"}


def told(text):
    system = build_project(read_text(text, "project.yaml"), HERE).system
    return evaluate(system, CodeBook(2017), with_suggestions=False)


@pytest.fixture(scope="module")
def without_a_main():
    return told(WITHOUT_A_MAIN)


def verdict(evaluation):
    return str(evaluation.by_id["placard-complete:system"].verdict)


def test_each_main_of_a_panel_without_one_is_a_step(without_a_main):
    steps = placards_of(without_a_main)[0].text.steps
    assert {step.handle for step in steps} == {"PVS", *MAINS}  # the spare breaker serves nothing
    assert [step.stops for step in steps if step.handle in MAINS] == ["", "", "", "cuts off utility power"]
    assert verdict(without_a_main) == "passes"
    (entry,) = [entry for entry in placards_of(without_a_main)[0].directory if entry.source.startswith("utility")]
    assert all(f"switch {number}" in entry.disconnects for number in (2, 3, 4, 5))


@pytest.mark.parametrize("change", [("      rest  blank\n", ""), ('K2 "DRYER"', '"DRYER"')])
def test_a_main_that_the_file_does_not_show_leaves_the_placard_open(change):
    """Nobody says that all breakers are shown; or a listed load has none that is shown."""
    assert verdict(told(WITHOUT_A_MAIN.replace(*change))) == "not judged"


def test_the_checklist_locks_each_of_them_and_asks_for_no_initiator(without_a_main):
    said = {line.id: line.instruction for line in before_power(without_a_main).lines}
    assert "Each of 4 service disconnects open and locked" in said["locked:UTIL"]
    assert "Initiator" not in said["locked:PV1"]


def test_steps_that_are_called_alike_are_counted_where_there_is_no_room_for_their_names(without_a_main):
    text = placards_of(without_a_main)[0].text
    assert offline_text(text, 100) == "1 RIGHT WALL OUTSIDE - PULL HANDLE TO OFF. 2-5 EACH OF 4: BREAKER HALL - TURN OFF"


def owner_of(path):
    evaluation = evaluate(load_project(path).system, CodeBook(2023), with_suggestions=False)
    emergency = emergency_of(evaluation)
    return evaluation, emergency.english, owner_text(evaluation, emergency.english, "", may_energize=True)


@pytest.mark.sample(every=4)
@pytest.mark.parametrize("name", HOMES)
def test_before_work_at_the_modules_every_step_is_named_that_they_need_and_no_other(name):
    evaluation, english, owner = owner_of(HOMES[name])
    answers = [answer.sentences[0] for answer in owner.answers if answer.question.startswith("Before anyone works on the")]
    system = evaluation.system
    solar = {source.id for source in system.sources.values() if source.kind == "photovoltaic"}

    def running(handles):
        return {source.id for source in left_running(system, handles)} & solar

    every = [handle.id for handle in shutdown_steps(system).steps]
    if not answers:
        assert running([]) == running(every)
        return
    numbers = re.search(r"Do steps? ([0-9, and]+) first", answers[0])[1]
    named = [step.handle for step in english.steps if str(step.number) in re.findall(r"\d+", numbers)]
    assert running(named) == running(every)
    assert all(running([each for each in named if each != handle]) > running(every) for handle in named)


@pytest.mark.sample(every=4)
@pytest.mark.parametrize("name", HOMES)
def test_a_generator_starts_by_itself_only_where_the_file_says_so(name):
    _, _, owner = owner_of(HOMES[name])
    said = any("starts when it is needed" in sentence for answer in owner.answers for sentence in answer.sentences)
    text = HOMES[name].read_text("utf-8")
    assert not said or re.search(r"automatic: yes|purpose: generator start", text)
    assert said or not re.search(r"purpose: generator start", text)
