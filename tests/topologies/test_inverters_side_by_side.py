"""Two inverters between the same panels, and a generator that an inverter takes in: which sources send current through which circuit.

Reasoned out on the one-line diagram; common practice, no published source: current that reaches a panel flows on from there, not back
around the loop of the other inverter; a port for a generator takes current in, and gives some only where its data sheet says so.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import yaml

from permitgen.project.load import build_project
from permitgen.reading.reader import read_text
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.circuit_sides import side_in_mode, side_of
from permitgen.system.walks.feeds import feeds_of_circuit
from permitgen.system.walks.source_ways import sources_through

BASES = Path(__file__).parents[1] / "rules" / "bases"
RUN = {"kind": "EMT", "trade_size": "1 in", "length": "10 ft", "place": "indoors"}
SIZES = {"size": "8 AWG", "neutral": "8 AWG"}


def told(change):
    data = yaml.load((BASES / "hybrid_load_port.yaml").read_text("utf-8"), yaml.CBaseLoader)
    data["raceways"]["RX"] = RUN
    change(data)
    return build_project(read_text(yaml.dump(json.loads(json.dumps(data)), allow_unicode=True), "project.yaml"), BASES).system


def two_inverters(data):
    """A second inverter like the first, on its own breakers of both panels; an interactive one stands on the main panel itself."""
    data["equipment"]["INV2"] = {**data["equipment"]["INV1"], "name": "Second inverter"}
    for part in ("ports", "terminals"):
        data["equipment"]["INV2"][part] = {k: v for k, v in data["equipment"]["INV2"][part].items() if k not in ("pv1", "bat")}
    only = {"ac": {"kind": "utility"}}
    data["equipment"]["INV3"] = {
        "kind": "inverter",
        "energy": "photovoltaic",
        "output": "24 A",
        "functions": ["interactive"],
        "ports": only,
    }
    device = {"rating": "50 A", "poles": "2", "interrupting_rating": "10 kA"}
    data["circuits"]["X1"] = {"from": "MSP.29", "to": "INV2.grid", "runs": "RX", "overcurrent": {"from_end": device}, "conductors": SIZES}
    data["circuits"]["X2"] = {"from": "INV2.backup", "to": "BLP.13", "runs": "RX", "overcurrent": {"to_end": device}, "conductors": SIZES}
    data["circuits"]["X3"] = {"from": "MSP.25", "to": "INV3.ac", "runs": "RX", "overcurrent": {"from_end": device}, "conductors": SIZES}


def with_generator(**port):
    def change(data):
        data["equipment"]["INV1"]["ports"]["gen"] = {"kind": "generator", "max_input": "40 A", **port}
        data["equipment"]["GEN"] = {"kind": "generator", "output": "30 A", "breaker": {"rating": "40 A", "poles": "2"}}
        data["circuits"]["G1"] = {"from": "GEN", "to": "INV1.gen", "runs": "RX", "conductors": SIZES}

    return change


def tags(side):
    return {source.tag for source in side.sources}


def test_a_source_on_a_panel_does_not_flow_back_into_it_around_the_loop():
    system = told(two_inverters)
    beyond = tags(side_of(system, system.circuits["X1"], "finish"))
    assert {"INV1", "INV2"} <= beyond  # both stand behind the breaker: the other one by way of the backup panel
    assert "INV3" not in beyond
    assert "UTIL" not in beyond
    toward = tags(side_of(system, system.circuits["X1"], "start"))
    assert {"UTIL", "INV3"} <= toward


@pytest.mark.parametrize("swapped", [False, True])
@pytest.mark.parametrize(
    ("place", "counts"),
    [
        # 690.8(A)(1), 705.28(A): an inverter's output circuit is for that inverter; what has no utility port of its own may go by either.
        ("U1", {"INV1", "PV9"}),
        ("U2", {"INV2", "PV9"}),
        ("L1", {"PV9"}),
        ("L2", {"PV9"}),
        ("S1", {"INV1", "INV2", "INV3", "PV9"}),
    ],
)
def test_each_inverter_counts_on_its_own_way_to_the_utility(place, counts, swapped):
    data = yaml.load((BASES / "inverters_in_parallel.yaml").read_text("utf-8"), yaml.CBaseLoader)
    data["equipment"]["PV9"] = {"kind": "inverter", "energy": "photovoltaic", "output": "10 A", "functions": ["interactive"]}
    device = {"rating": "20 A", "poles": "2", "interrupting_rating": "10 kA"}
    data["circuits"]["E9"] = {"from": "PV9.ac", "to": "BLP.7", "runs": "R5", "overcurrent": {"to_end": device}, "conductors": SIZES}
    if swapped:
        data["equipment"] = dict(reversed(data["equipment"].items()))
        data["circuits"] = dict(reversed(data["circuits"].items()))
    system = build_project(read_text(yaml.dump(data, allow_unicode=True, sort_keys=False), "project.yaml"), BASES).system
    everything = [source for source in system.sources.values() if source.is_ac and source.kind != "utility"]
    assert {source.tag for source in sources_through(system, system.graph.conductors_of(place), everything)} == counts


@pytest.mark.parametrize(("port", "gives"), [({}, False), ({"max_output": "10 A"}, True)])
def test_what_takes_a_generator_in_gives_nothing_unless_it_says_so(port, gives):
    system = told(with_generator(**port))
    mode = OperatingMode.ON_GENERATOR
    circuit = system.circuits["G1"]
    assert ("INV1" in tags(side_in_mode(system, circuit, "finish", mode))) is gives
    assert any(source.tag == "INV1" for source in feeds_of_circuit(system, "G1", "finish", mode).sources) is gives
    # The other way the generator feeds what lies behind the inverter.
    assert "GEN" in tags(side_in_mode(system, circuit, "start", mode))
