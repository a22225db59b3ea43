"""``check --unread`` lists what a technician stated without effect, each with its place; nothing else and nothing twice."""

from pathlib import Path

import pytest

from permitgen.package.opened_project import open_project
from permitgen.package.unread import stated_facts, unread_facts
from permitgen.system.read_facts import recorded
from tests.cli.in_process import run

HOUSE = Path(__file__).resolve().parent / "small_house.yaml"


def _with(tmp_path, *changes):
    text = HOUSE.read_text("utf-8")
    for before, after in changes:
        assert text.count(before) == 1, before
        text = text.replace(before, after)
    path = tmp_path / "house.yaml"
    path.write_text(text, "utf-8")
    return path


def _keys(path):
    return {fact.key for fact in unread_facts(open_project(path))}


@pytest.mark.nightly
def test_a_fact_that_nothing_asks_for_is_listed_with_its_place(tmp_path):
    """Volume of a meter's bending space is asked of nobody; the busbar, the length and the address are judged or printed."""
    path = _with(tmp_path, ("MSP: {catalog: panel", "MSP: {bending_space_left: 3 in, catalog: panel"))
    found = [fact for fact in unread_facts(open_project(path)) if fact.key == "equipment.MSP.bending_space_left"]
    (line,) = [number for number, text in enumerate(path.read_text("utf-8").splitlines(), 1) if "bending_space_left" in text]
    column = path.read_text("utf-8").splitlines()[line - 1].index("3 in") + 1
    assert [str(fact) for fact in found] == [f"{path.as_posix()}:{line}:{column} equipment.MSP.bending_space_left: 3 in"]
    keys = {fact.key for fact in unread_facts(open_project(path))}
    assert not keys & {"catalog.panel.busbar", "raceways.R2.length", "circuits.S1.conductors.size", "circuits.S1.conductors.insulation"}


def test_the_command_prints_one_line_a_fact_and_ends_as_check_does(tmp_path):
    path = _with(tmp_path, ("MSP: {catalog: panel", "MSP: {bending_space_left: 3 in, catalog: panel"))
    plain, unread = (run("check", path.name, *more, folder=tmp_path) for more in ((), ("--unread",)))
    assert unread.returncode == plain.returncode
    assert unread.stderr == ""
    lines = unread.stdout.splitlines()
    assert any(line.startswith("house.yaml:") and line.endswith("equipment.MSP.bending_space_left: 3 in") for line in lines)
    assert len(lines) == len(set(lines))
    assert all(line.startswith("house.yaml:") for line in lines)


def test_nothing_stays_behind_after_recording():
    """The kinds of the system are as they were: a program that goes on pays nothing."""
    system = open_project(HOUSE).loaded.system
    kinds = {type(system), type(system.circuits["S1"]), type(system.site)}
    with recorded(system) as record:
        assert system.site.stated_dwelling == "one-family"
    assert {slot.field for slot in record.slots} == {"site", "stated_dwelling"}
    assert not [kind for kind in kinds if "__getattribute__" in vars(kind)]
    assert system.circuits
    assert {slot.field for slot in record.slots} == {"site", "stated_dwelling"}


def test_a_recording_within_another_leaves_that_one_as_it_was():
    """A suggestion that is tried notes what rules read of conductors, while everything is noted for the list of unread facts."""
    system = open_project(HOUSE).loaded.system
    kind = type(system.circuits["S1"].conductors)
    with recorded(system) as outer:
        with recorded(system, of=(kind,)) as inner:
            assert system.circuits["S1"].conductors.size
        assert {slot.field for slot in inner.slots} == {"size"}
        assert "size" not in {slot.field for slot in outer.slots}
        assert system.circuits["S1"].conductors.material
    assert "material" in {slot.field for slot in outer.slots}
    assert "__getattribute__" not in vars(kind)


@pytest.mark.nightly
def test_a_house_with_violations_whose_remedies_are_tried_is_listed_too(tmp_path):
    """The remedies of a conductor that is too small are tried while facts are noted."""
    path = _with(tmp_path, ("size: 4/0 AWG", "size: 6 AWG"))
    found = run("check", path.name, "--unread", folder=tmp_path)
    assert (found.returncode, found.stderr) == (1, "")


def test_what_is_stated_are_single_values_and_lists_of_them():
    tree = {"site": {"plan": {"lot": [["0", "0"], ["1", "0"], ["1", "1"]]}}, "circuits": {"C1": {"runs": ["R1", "R2"], "to": "A"}}}
    assert [path for path, _ in stated_facts(tree)] == [("site", "plan", "lot"), ("circuits", "C1", "runs"), ("circuits", "C1", "to")]


@pytest.mark.nightly
def test_of_the_demo_the_nameplate_figures_without_a_rule_are_listed():
    """Known by reading the rules: no check uses the voltage and current at maximum power of an array of microinverters."""
    keys = _keys(Path(__file__).resolve().parents[2] / "demo_project")
    assert {"catalog.module-405.vmp", "catalog.module-405.imp"} <= keys
    assert not keys & {"site.climate.record_low", "catalog.module-405.voc", "equipment.UTIL.available_fault_current"}
