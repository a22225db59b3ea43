"""Interlocks between switches that stand apart: which of them is closed in which mode, reasoned from the one-line by hand.

A generator on the service panel's breaker 4 and the main behind a sliding plate: the utility comes over the main, so that the main is
closed while the utility is there and open on the generator; the breaker the other way round.
"""

from pathlib import Path

import pytest

from permitgen.project.load import build_project, load_project
from permitgen.reading.problems import ProblemsError
from permitgen.reading.reader import read_yaml_file
from permitgen.system.interlock import is_called
from permitgen.system.operating_mode import OperatingMode

BASE = Path(__file__).resolve().parents[1] / "rules" / "bases" / "generator_transfer_switch.yaml"
UTILITY, GENERATOR = OperatingMode.WITH_UTILITY, OperatingMode.ON_GENERATOR
ON_THE_PANEL = ("to: TS.alternate", "to: MSP.4")


def closed_in(tmp_path, name, interlocks, *changes):
    """Return the modes of the project in which the switch ``name`` is closed."""
    text = BASE.read_text("utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    file = tmp_path / "project.yaml"
    file.write_text(f"{text.rstrip()}\ninterlocks: {interlocks}\n", "utf-8")
    system = build_project(read_yaml_file(file), tmp_path).system
    found = {mode for link in system.graph.links if is_called(link, name) for mode in link.closed_in}
    return found & set(system.modes)


@pytest.mark.parametrize(
    "interlock",
    [
        "{not_both_closed: [MSP.main, MSP.4], by: sliding plate}",
        "{not_both_closed: [MSP.4, MSP.main], by: sliding plate}",
        "{when: MSP.4 closes, first_opens: MSP.main, by: trip coil}",
    ],
)
def test_the_utility_comes_over_the_main_and_the_generator_over_its_breaker(tmp_path, interlock):
    assert closed_in(tmp_path, "MSP.main", f"[{interlock}]", ON_THE_PANEL) == {UTILITY}
    assert closed_in(tmp_path, "MSP.4", f"[{interlock}]", ON_THE_PANEL) == {GENERATOR}


def test_what_opens_before_the_alternate_position_closes_is_open_on_the_generator_only(tmp_path):
    interlock = "[{when: TS.alternate closes, first_opens: MSP.37, by: auxiliary contact}]"
    assert closed_in(tmp_path, "MSP.37", interlock) == {UTILITY}
    assert closed_in(tmp_path, "TS.alternate", interlock) == {GENERATOR}


def test_of_two_switches_that_lead_to_one_supply_the_interlock_tells_nothing(tmp_path):
    interlock = "[{not_both_closed: [MSP.2, MSP.main], by: sliding plate}]"
    both = {UTILITY, GENERATOR}
    assert closed_in(tmp_path, "MSP.37", interlock, ON_THE_PANEL) == both
    assert closed_in(tmp_path, "MSP.2", interlock, ON_THE_PANEL) == both


def test_a_source_beside_the_generator_opens_on_the_generator_and_the_generator_stays_as_it_was(tmp_path):
    interlock = "[{not_both_closed: [MSP.37, MSP.4], by: sliding plate}]"
    assert closed_in(tmp_path, "MSP.37", interlock, ON_THE_PANEL) == {UTILITY}
    assert closed_in(tmp_path, "MSP.4", interlock, ON_THE_PANEL) == {UTILITY, GENERATOR}


NAMED = {
    "b14_generator_inlet": ("INL",),
    "b03_whole_home": ("ESS1.disconnect", "MID.contactor"),
}
HERE = Path(__file__).resolve().parent


@pytest.mark.sample(every=4)
@pytest.mark.parametrize("name", sorted(path.stem for path in HERE.glob("b*.yaml")))
def test_whatever_opens_a_way_of_the_graph_can_be_interlocked_and_nothing_else(tmp_path, name):
    """Each handle that a person opens and each contact that opens by itself, by the id that documents print."""
    text = (HERE / f"{name}.yaml").read_text("utf-8")
    system = build_project(read_yaml_file(HERE / f"{name}.yaml"), HERE).system
    switches = {each for link in system.graph.links for each in (link.handle, link.switch) if each}
    assert {link.handle for link in system.graph.links if link.handle} <= system.handles.keys()
    assert set(NAMED.get(name, ())) <= switches
    if "\ninterlocks:" in text:
        return
    file = tmp_path / "project.yaml"
    one, *others = sorted(switches)
    file.write_text(f"{text.rstrip()}\ninterlocks:\n  - {{when: {one} closes, first_opens: [{', '.join(others)}]}}\n", "utf-8")
    assert build_project(read_yaml_file(file), tmp_path).system.interlocks
    file.write_text(f"{text.rstrip()}\ninterlocks:\n  - {{when: {one} closes, first_opens: [{others[0]}x]}}\n", "utf-8")
    with pytest.raises(ProblemsError, match="no breaker or switch is called"):
        build_project(read_yaml_file(file), tmp_path)


def test_the_breaker_of_a_neutral_former_can_be_interlocked():
    system = load_project(HERE.parents[1] / "demo_project").system
    assert "MID.autotransformer" in {each for link in system.graph.links for each in link.switching}


def test_the_transfer_relay_inside_an_inverter_can_be_interlocked():
    system = build_project(read_yaml_file(BASE.parent / "hybrid_load_port.yaml"), BASE.parent).system
    assert "INV1.transfer_relay" in {each for link in system.graph.links for each in link.switching}
