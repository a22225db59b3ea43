"""The checklist holds what this system needs, with limits that follow from the standards named beside each check."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluate import evaluate
from permitgen.evaluation.evaluation import Evaluation
from permitgen.evaluation.field_verdict import FieldEntry, FieldVerdict, judge_entry
from permitgen.project.load import build_project, load_project
from permitgen.reading.reader import read_text
from permitgen.rules.given import Given
from permitgen.views.field_checklist import view_of
from tests.whole_project import whole_text

ROOT = Path(__file__).resolve().parents[2]
DEMO = whole_text(ROOT / "demo_project" / "project.yaml")


def checklist(text=DEMO, edition=2023):
    system = build_project(read_text(text, "project.yaml"), ROOT / "demo_project", edition=str(edition)).system
    return view_of(evaluate(system, CodeBook(edition), with_suggestions=False), "ab" * 32)


@pytest.fixture(scope="module")
def demo():
    return checklist()


STRINGS = (
    DEMO.replace("    module_inverter: microinverter-330\n", "")
    .replace("    branches: {A: 8, B: 8, C: 8}\n", "    strings: {S1: 8, S2: 8, S3: 8}\n")
    .replace("module_order: [A, B, C]", "module_order: [S1, S2, S3]")
    .replace("from: PV1.A", "from: PV1.S1")
    .replace("from: PV1.B", "from: PV1.S2")
    .replace("from: PV1.C", "from: PV1.S3")
)


def test_ids_are_unique_and_carry_no_counter(demo):
    ids = [line.id for line in demo.lines]
    assert len(ids) == len(set(ids))
    assert all(re.fullmatch(r"[a-z_-]+(:\S.*)?", id_) for id_ in ids)


def test_ids_survive_an_edit(demo):
    """Results made before a wire was lengthened belong to the same lines after."""
    edited = checklist(DEMO.replace("length: 26 ft", "length: 31 ft"))
    assert [line.id for line in edited.lines] == [line.id for line in demo.lines]


def test_every_screw_of_every_new_circuit_has_a_row(demo):
    """C7: two ungrounded conductors and a grounding conductor at each end, 8 AWG and 10 AWG, no neutral."""
    rows = {line.id: line for line in demo.lines if line.id.startswith("torque:C7@")}
    assert set(rows) == {f"torque:C7@{end}:{role}" for end in ("PVC.main", "MID.PV") for role in ("L1", "L2", "G")}
    system = load_project(ROOT / "demo_project").system
    for circuit in system.circuits.values():
        for end in circuit.ends:
            kind = system.equipment[end.tag].kind
            if kind not in ("utility_service", "junction_box", "pv_array"):
                assert any(line.id.startswith(f"torque:{circuit.tag}@{end}:") for line in demo.lines)


def test_the_terminals_own_torque_stands_first(demo):
    line = demo.by_id["torque:C7@MID.PV:L1"]
    assert (line.rule.base, line.basis, line.expected.replace("\u00a0", " ")) == (45, "INST", "45 lbf·in")
    assert "equipment marking" in line.source


def test_without_a_value_the_default_is_a_guide_and_judges_nothing(demo):
    """10 AWG on a slotted screw: 35 lbf·in; hex head 75 (NEC Informative Annex I, Table I.1; UL 486A-486B)."""
    line = demo.by_id["torque:C7@MID.PV:G"]
    assert line.rule.base is None
    assert line.expected == "as marked on the equipment"
    assert line.basis == "486"
    assert "slotted 35 lbf·in" in line.why.replace("\u00a0", " ")
    assert "75 lbf·in" in line.why.replace("\u00a0", " ")
    assert [i.name for i in line.inputs] == ["marked"]
    assert judge_entry(line.rule, FieldEntry(answer="value", value="35", inputs={})).verdict is FieldVerdict.NOT_DONE


def test_no_number_is_expected_that_nobody_marked(demo):
    """A figure stands under *expected* only where the project states it: torque by its terminal's mark, insulation nowhere."""
    for line in demo.lines:
        if line.rule.kind == "insulation" or (line.rule.kind == "torque" and line.rule.base is None):
            assert not re.search("[0-9]", line.expected), line.id


def test_each_timed_or_paired_test_judges_the_whole_reading(demo):
    """690.12(B)(1): 30 V within 30 s; both legs of an island stay in the service range (common practice, no published source)."""
    shutdown = demo.by_id["shutdown:RSI:PV1:islanded"].rule
    assert [(also.name, also.most) for also in shutdown.also if not also.is_condition] == [("elapsed", 30)]
    assert [(also.name, also.least) for also in shutdown.also if also.is_condition] == [("before", 30)]
    unbalance = demo.by_id["island:unbalance"].rule
    assert [(also.name, also.least, also.most) for also in unbalance.also] == [("other_leg", unbalance.least, unbalance.most)]


@pytest.mark.parametrize(
    ("size", "slotted", "hexagonal"),
    [("6 AWG", 45, 110), ("4 AWG", 45, 110), ("2 AWG", 50, 150), ("1/0 AWG", 50, 180)],
)
def test_default_torques_are_those_of_the_annex(size, slotted, hexagonal):
    """NEC Informative Annex I, Table I.1 (UL 486A-486B), larger slot and other hexagonal heads."""
    text = DEMO.replace(
        "conductors: {size: 8 AWG, insulation: THWN-2,", f"conductors: {{size: 8 AWG, equipment_ground: {size}, insulation: THWN-2,"
    )
    line = checklist(text).by_id["torque:C7@MID.PV:G"]
    assert f"slotted {slotted} lbf·in" in line.why.replace("\u00a0", " ")
    assert f"hex head {hexagonal} lbf·in" in line.why.replace("\u00a0", " ")


def test_rapid_shutdown_limits_by_edition():
    """690.12(B)(1), 2017 to 2023: 30 V within 30 s outside the array boundary; 2026 is not confirmed and has no limit here."""
    for edition in (2017, 2020, 2023):
        line = checklist(edition=edition).by_id["shutdown:RSI:PV1:islanded"]
        assert (line.rule.kind, line.rule.most, line.unit) == ("number", 30, "V")
        assert "30 s" in line.instruction.replace("\u00a0", " ")
        assert line.source.startswith(f"NEC {edition}")
    sized = evaluate(load_project(ROOT / "demo_project").system, CodeBook(2023), with_suggestions=False).system
    line = view_of(Evaluation(Given(sized, CodeBook(2026)), (), ()), "ab" * 32).by_id["shutdown:RSI:PV1:islanded"]
    assert line.rule.kind == "record"
    assert "not confirmed" in line.source


def test_shutdown_is_tested_islanded_and_by_each_pole(demo):
    ids = set(demo.by_id)
    assert {"shutdown:RSI:PV1:with-the-utility", "shutdown:RSI:PV1:islanded", "pole:RSI.1", "pole:RSI.2"} <= ids


def test_island_voltages_are_range_a(demo):
    """ANSI C84.1 range A, 120/240 V: 114 to 126 V and 228 to 252 V."""
    legs, line = demo.by_id["island:L1-N"].rule, demo.by_id["island:L1-L2"].rule
    assert (round(legs.least, 9), round(legs.most, 9)) == (114, 126)
    assert (round(line.least, 9), round(line.most, 9)) == (228, 252)


def test_neutral_is_verified_in_each_mode(demo):
    modes = {line.id.partition(":")[2] for line in demo.lines if line.id.startswith("neutral-voltage:")}
    assert modes == {"islanded", "with-the-utility", "on-the-generator"}


def test_string_expectation_is_that_of_iec_62446():
    """8 × 37.2 V × (1 − 0.0027 × (T − 25)), worked by hand: 297.6 V at 25 °C, 273.5 V at 55 °C."""
    line = checklist(STRINGS).by_id["voc:PV1.S1"]
    rule = line.rule
    assert rule.count * rule.base == pytest.approx(297.6)
    assert rule.count * rule.base * (1 + rule.coefficient / 100 * (55 - rule.reference)) == pytest.approx(273.49, abs=0.01)
    assert "297.6 V" in line.expected.replace("\u00a0", " ")


def test_dc_insulation_test_follows_the_system_voltage():
    """IEC 62446-1: 8 × 37.2 V × 1.25 = 372 V lies in 120 to 500 V: test with 500 V, at least 1 MΩ (values from memory)."""
    line = checklist(STRINGS).by_id["insulation:PV1.S1"]
    assert "500 V dc" in line.instruction.replace("\u00a0", " ")
    assert (line.rule.least, line.unit) == (1, "MΩ")
    assert "372 V" in line.why.replace("\u00a0", " ")


CONVERTERS = STRINGS.replace(
    "catalog:\n", "catalog:\n  optimizer: {kind: converter, output_voltage: 60 V, output: 15 A, largest_input: 60 V}\n", 1
)
CONVERTERS = CONVERTERS.replace("    strings: {S1: 8,", "    converter: optimizer\n    strings: {S1: 8,")
"""Strings of eight converters of 60 V: 480 V (690.7(B): the sum of the rated outputs, unless their instructions fix less)."""


@pytest.mark.parametrize(("fixed", "test_v", "system_v"), [("", "500 V dc", "480 V"), ("string_voltage: 100 V, ", "250 V dc", "100 V")])
def test_strings_of_converters_are_tested_at_their_own_voltage(fixed, test_v, system_v):
    """IEC 62446-1, values from memory: to 120 V with 250 V, to 500 V with 500 V; modules' 372 V and 1000 V are not those of the string."""
    line = checklist(CONVERTERS.replace("kind: converter, ", f"kind: converter, {fixed}")).by_id["insulation:PV1.S1"]
    assert test_v in line.instruction.replace("\u00a0", " ")
    assert system_v in line.why.replace("\u00a0", " ")
    assert "its conductors alone, unplugged from the electronics at the modules" in line.instruction


def test_a_string_of_converters_whose_voltage_nobody_states_has_no_test_voltage():
    assert "insulation:PV1.S1" not in checklist(CONVERTERS.replace("output_voltage: 60 V, ", "")).by_id


@pytest.mark.parametrize("text", [STRINGS, CONVERTERS, DEMO])
def test_no_insulation_test_goes_through_electronics_at_modules(text):
    """The section says so above its lines; a line that orders the test of such a string names its conductors alone."""
    view = checklist(text)
    for id_, line in view.by_id.items():
        if id_.startswith("insulation:PV1."):
            assert "alone, unplugged" in line.instruction, "the demo's modules are shut down by devices of their own"


def order(view, section):
    return [line.id for one in (*view.sections, *view.instructions) if one.id == section for line in one.lines]


def test_energizing_begins_at_the_service_and_ends_with_the_generator(demo):
    """The utility's voltage is read before the main closes; common practice, no published source, for this graph."""
    steps = [*order(demo, "energize"), *order(demo, "generator")]
    wanted = [
        "supply:MID.main:L1-L2",
        "on:MID.main",
        "on:MID.override",
        "on:MID.autotransformer",
        "on:ESS1.disconnect",
        "on:MID.PV",
        "on:RSI",
        "on:HP.main",
        "on:MID.GEN",
        "on:generator-armed",
    ]
    assert [step for step in steps if step in wanted] == wanted


def test_de_energizing_begins_with_loads_and_ends_dead(demo):
    steps = order(demo, "de-energize")
    wanted = [
        "off:HP.main",
        "off:RSI",
        "off:wait",
        "off:ESS1.disconnect",
        "off:generator-locked",
        "off:MID.PV",
        "off:MID.main",
        "off:verify",
    ]
    assert [step for step in steps if step in wanted] == wanted


@pytest.mark.parametrize(("section", "word"), [("energize", "on"), ("de-energize", "off")])
def test_every_handle_is_switched_once_each_way(demo, section, word):
    """By a line of its own; the breakers of loads alone by one line a panel that names each of their spaces."""
    system = load_project(ROOT / "demo_project").system
    switched = [one for id_ in order(demo, section) for one in id_.removeprefix(f"{word}:").split("+")]
    lines = {line.id: line for one in (*demo.sections, *demo.instructions) for line in one.lines}
    for id_ in [each for each in switched if each.endswith(".branches")]:
        spaces = re.search(r"\(([^)]*)\)$", lines[f"{word}:{id_}"].instruction)[1].split(", ")
        switched += [f"{id_.removesuffix('.branches')}.{space}" for space in spaces]
    handles = [handle for handle, found in system.handles.items() if found.kind != "generator stop"]
    assert [switched.count(handle) for handle in handles] == [1] * len(handles)


def test_what_is_permitted_is_spelled_one_way(demo):
    """A rating of a directory, written 20A there, is the 20 A that can be chosen on the phone and that other lines print."""
    permitted = [line.permitted for line in demo.lines if line.permitted]
    assert len(permitted) > 50
    assert not [text for text in permitted if re.search(r"[0-9]k?A", text)]


def test_parts_that_do_not_exist_are_not_asked_for():
    """A house without generator has no generator test, and its neutral is not verified on one."""
    text = re.sub(r"(?ms)^  GEN:\n.*?(?=^  \w+:\n)", "", DEMO)
    text = re.sub(r"(?ms)^  C10:\n.*?(?=^  C11:)", "", text)
    text = re.sub(r"(?m)^      GEN  .*\n", "", text)
    text = re.sub(r"(?ms)^  GS1:\n.*?(?=^\w)", "", text)
    ids = [line.id for line in checklist(text).lines]
    assert not [id_ for id_ in ids if "generator" in id_ or ":GEN" in id_]


def test_barriers_lamps_and_the_electrode_conductor_are_looked_at(demo):
    """NEC 2023 230.62(C) and 215.15, before 408.3(A)(2): barriers in service equipment; 110.26(D): light indoors; 250.64(C), (E)."""
    assert {id_ for id_ in demo.by_id if id_.startswith(("barrier:", "light:", "electrode-conductor:"))} == {
        "barrier:MID",
        "light:HP",
        "electrode-conductor:GES",
    }
    assert "230.62(C)" in demo.by_id["barrier:MID"].source
    assert "408.3(A)(2)" in checklist(edition=2017).by_id["barrier:MID"].source
    assert {"wiring:grounding-bars", "wiring:grounds-in-boxes"} <= set(demo.by_id)


def test_moved_circuits_bring_their_neutral_and_their_breaker(demo):
    moved = checklist(DEMO.replace("category: general, power: 0.7 kW", "category: general, power: 0.7 kW, moved: yes"))
    assert {id_ for id_ in moved.by_id if id_.startswith("moved:")} == {"moved:HP"}
    assert not [id_ for id_ in demo.by_id if id_.startswith("moved:")]


def test_no_line_repeats_its_own_verdict(demo):
    """A number cannot be answered with yes: lines that have limits are numbers."""
    for line in demo.lines:
        assert (line.rule.kind in ("number", "torque", "insulation", "string voltage", "string current")) == bool(line.limit), line.id


def words(line):
    return line.instruction.replace("\u00a0", " ")


def test_supports_are_those_of_the_raceway_articles(demo):
    """358.30: EMT within 3 ft and every 10 ft, 26 ft at 3, 13 and 23 ft; 352.30: 2 in PVC every 5 ft, of which only the risers show."""
    assert "within 3 ft of each enclosure and every 10 ft, at least 3" in words(demo.by_id["raceway:R3"])
    assert "risers supported within 3 ft of each enclosure and every 5 ft" in words(demo.by_id["raceway:R1"])
    assert "or none where unbroken" in words(demo.by_id["raceway:R2"]), "18 in of rigid conduit (344.30, from memory)"
    assert "every 6 ft" in words(demo.by_id["support:R4"]), "tray cable (336.10(7), from memory)"


def test_raceways_are_sealed_from_underground_and_from_outdoors(demo):
    """230.8 for the service, 300.5(G) for the others, 300.7(A) where the battery units stand inside and the interconnect device outside."""
    assert "sealed inside at MTR" in words(demo.by_id["seal:R1"])
    assert demo.by_id["seal:R1"].source.endswith("230.8")
    assert "sealed inside at ESS1" in words(demo.by_id["seal:R7"])
    assert "sealed inside at GEN and MID" in words(demo.by_id["seal:R9"])
    assert not {"seal:R5", "seal:R6", "seal:R10", "seal:R12"} & set(demo.by_id), "both ends outdoors, or both indoors"


def test_soft_cable_inside_is_guarded_in_framing_and_metal_conduit_is_not_asked(demo):
    """300.4(A), (D): 1-1/4 in; rigid raceways and tubing are excepted. 300.4(E): 1-1/2 in below metal decking but for RMC."""
    assert "wiring:framing" not in demo.by_id
    assert "1.5 in" in words(demo.by_id["wiring:roof-deck"])
    cable = checklist(DEMO.replace("R11: {kind: EMT, trade_size: 1/2 in,", "R11: {kind: NM-B cable,"))
    assert "R11 is 1.25 in" in words(cable.by_id["wiring:framing"])
    assert "every 4.5 ft" in words(cable.by_id["support:R11"]), "334.30"
    assert "R11" not in words(cable.by_id["wiring:induced-heating"])


def test_polarity_is_marked_where_there_is_direct_current(demo):
    """690.31(B)(1), grouping every 6 ft; the demo has module inverters and no dc circuit of the premises."""
    assert not [line.id for line in demo.lines if "polarity" in line.id]
    assert "C1, C2, C3" in words(checklist(STRINGS).by_id["wiring:pv-polarity"])
    assert "every 6 ft" in words(checklist(STRINGS).by_id["wiring:pv-polarity"])


TOPOLOGIES = sorted((ROOT / "tests" / "topologies").glob("b*.yaml"))


@pytest.mark.sample(every=4)
@pytest.mark.parametrize("path", TOPOLOGIES, ids=lambda path: path.stem)
def test_every_topology_has_a_checklist_in_which_each_line_is_there_once(path):
    system = load_project(path).system
    lines = view_of(evaluate(system, CodeBook(2023), with_suggestions=False), "ab" * 32).lines
    assert len({line.id for line in lines}) == len(lines)
    known = {*system.equipment, *system.circuits, *system.raceways, *system.controls, ""}
    assert {line.tag for line in lines} <= known, "a line is at something of the project"


def test_a_fuse_without_a_space_is_opened_where_it_sits():
    """B9: the fuse of the battery circuit is in the battery unit; its handle is named after the circuit."""
    system = load_project(ROOT / "tests" / "topologies" / "b09_hybrid_inverter.yaml").system
    view = view_of(evaluate(system, CodeBook(2023), with_suggestions=False), "ab" * 32)
    assert {line.id: line for one in view.instructions for line in one.lines}["off:B1.start"].tag == "ESS1"


def test_an_inlet_is_tried_without_its_plug_and_a_portable_machine_has_no_start_contact():
    """406.7(D): pins dead without the plug."""
    system = load_project(ROOT / "tests" / "topologies" / "b14_generator_inlet.yaml").system
    lines = view_of(evaluate(system, CodeBook(2023), with_suggestions=False), "ab" * 32).by_id
    assert "no voltage at the pins" in lines["inlet:dead:INL"].instruction
    assert lines["inlet:dead:INL"].source.endswith("406.7(D)")
    assert "started by hand" in lines["generator:start:GEN"].instruction
    assert "generator:stop:GEN" not in lines
