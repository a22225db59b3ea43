"""What stands open in a mode is nobody's protection in it, and what a generator cannot reach does not carry its current."""

from __future__ import annotations

from pathlib import Path

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.project.load import load_project
from permitgen.rules.given import Given
from permitgen.rules.quantities.protection import devices_protecting
from permitgen.system.operating_mode import OperatingMode

TOPOLOGIES = sorted(Path(__file__).parent.glob("*.yaml"))
DEMO = Path(__file__).parent.parent.parent / "demo_project" / "project.yaml"


@pytest.mark.sample(every=4)
@pytest.mark.parametrize("path", [*TOPOLOGIES, DEMO], ids=lambda path: path.stem)
def test_only_what_is_closed_in_a_mode_is_counted_on_to_clear_a_fault_in_it(path, open_once):
    """From the graph: an open breaker carries no current, so that no current trips it."""
    evaluation = open_once(path, 2023).evaluation
    devices = evaluation.system.devices
    for mode in evaluation.system.modes:
        if mode is OperatingMode.WITH_UTILITY:
            continue
        finding = evaluation.by_id[f"island-fault-clearing:{mode}"]
        judged = {part.message.partition(":")[0] for part in finding.judgement.parts if part.computed is not None}
        assert all(mode in devices[tag].link.closed_in for tag in judged), (mode, judged)


HOUSE = """\
project: {name: Transfer switch ahead of the panel}
jurisdiction: {name: Testing, edition: 2023}
site: {dwelling: one-family, climate: {design_high: 30 °C, record_low: -20 °C}}
equipment:
  UTIL: {kind: utility_service, voltage: 120/240 V}
  TS: {kind: transfer_switch, poles: 2, rating: 200 A, listed_as: [transfer switch], switches_neutral: no, automatic: yes}
  MSP: {kind: panelboard, role: [service equipment], busbar: 200 A, main: {rating: 200 A, poles: 2}, spaces: 40}
  GEN: {kind: generator, output: 58.3 A}
circuits:
  S1: {from: UTIL, to: TS.normal, conductors: {size: 4/0 AWG, material: aluminum, insulation: XHHW-2, neutral: 4/0 AWG}}
  S2: {from: TS.load, to: MSP.main, conductors: {size: 4/0 AWG, material: aluminum, insulation: XHHW-2, neutral: 4/0 AWG}}
  G1:
    from: GEN
    to: TS.alternate
    overcurrent: {to_end: {rating: 60 A, poles: 2}}
    conductors: {size: 4 AWG, insulation: THWN-2, neutral: 4 AWG}
"""


def test_service_conductors_are_protected_by_what_the_utility_reaches(tmp_path):
    """230.90: the service disconnect protects them; a generator's breaker beyond an open position does not."""
    (tmp_path / "project.yaml").write_text(HOUSE, encoding="utf-8")
    system = load_project(tmp_path / "project.yaml").system
    given = Given(system, CodeBook("2023"))
    found = [each.part for each in devices_protecting(given, system.circuits["S1"])]
    assert found == ["MSP main"]
