"""Which busbar sees which check: a worked matrix of thirteen busbars.

Source of the numbers: worked by hand from the methods of NEC 2017 705.12(B)(2)(3), 2020 705.12(B)(3), 2023 705.12(B) (supply device
P, 125 percent of the output currents S, rating B of the busbar); 705.13 for the power control system. Common facts: PV 32 A on a
40 A breaker, storage 40 A on 50 A, older PV of 16 A on 20 A. The sources sit at the end opposite the supply.
"""

from __future__ import annotations

import copy
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
import yaml

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluate import evaluate
from permitgen.evaluation.evaluation import Evaluation
from permitgen.project.load import load_project
from permitgen.rules.judgement import Judgement

EDITIONS = (2017, 2020, 2023)
RACEWAY = {"kind": "EMT", "trade_size": "2 in", "length": "10 ft", "ambient": "30 °C", "inside_building": "yes"}
SERVICE = {"size": "4/0 AWG", "material": "aluminum", "insulation": "XHHW-2", "neutral": "4/0 AWG"}


def breaker(amperes: float) -> dict[str, str]:
    return {"rating": f"{amperes:g} A", "poles": "2", "interrupting_rating": "22 kA"}


def panel(busbar: float, main: float | None, **more: str) -> dict[str, Any]:
    """A panelboard of 40 spaces fed at its top; without ``main`` it has lugs."""
    entry = {"kind": "panelboard", "busbar": f"{busbar:g} A", "supply_end": "top", "spaces": "40", "all_breakers_in_file": "yes", **more}
    return {**entry, "main": breaker(main)} if main is not None else {**entry, "main_lugs_only": "yes"}


def inverter(output: float, **more: str) -> dict[str, Any]:
    return {
        "kind": "inverter",
        "functions": ["interactive"],
        "energy": "photovoltaic",
        "output": f"{output:g} A",
        "terminals": {"ac": {}},
        **more,
    }


def storage(output: float, **more: str) -> dict[str, Any]:
    return {
        "kind": "energy_storage_system",
        "coupling": "ac",
        "functions": ["interactive", "multimode"],
        "output": f"{output:g} A",
        "disconnect": "yes",
        **more,
    }


def interconnect(main: float | None, load_device: float | None = None) -> dict[str, Any]:
    terminals = {"supply": {}, "load": {}, "PV": {"accepts": "photovoltaic"}, "BAT": {"accepts": "energy storage"}}
    entry: dict[str, Any] = {
        "kind": "microgrid_interconnect_device",
        "busbar": "200 A",
        "spaces": "8",
        "supply_end": "top",
        "terminals": terminals,
    }
    entry |= {"main": breaker(main)} if main is not None else {"main_lugs_only": "yes"}
    return entry | ({"load_device": breaker(load_device)} if load_device is not None else {})


def circuit(start: str, finish: str, device: float | None = None, *, at: str = "to_end", size: str = "3/0 AWG") -> dict[str, Any]:
    entry: dict[str, Any] = {"from": start, "to": finish, "conductors": {"size": size, "insulation": "THWN-2", "neutral": "no"}}
    return entry | ({"overcurrent": {at: breaker(device)}} if device is not None else {})


@dataclass(frozen=True)
class House:
    """What a topology consists of beside the utility and its service conductors, which end at ``service``."""

    service: str
    equipment: dict[str, Any]
    circuits: dict[str, Any]
    loads: dict[str, float] = field(default_factory=dict)

    def evaluated(self, edition: int) -> Evaluation:
        equipment: dict[str, Any] = {"UTIL": {"kind": "utility_service", "voltage": "120/240 V"}, **self.equipment}
        circuits: dict[str, Any] = {"S1": {"from": "UTIL", "to": self.service, "conductors": dict(SERVICE)}, **copy.deepcopy(self.circuits)}
        for number, (position, device) in enumerate(self.loads.items(), start=1):
            equipment[f"W{number}"] = {"kind": "appliance", "category": "fixed appliance", "continuous": "no", "current": "20 A"}
            circuits[f"L{number}"] = circuit(position, f"W{number}", device, at="from_end")
        for tag, entry in circuits.items():
            entry["runs"] = f"R{tag}"
        data = {
            "project": {"name": "Matrix"},
            "jurisdiction": {"name": "Testing", "edition": str(edition)},
            "site": {"dwelling": "one-family"},
            "equipment": equipment,
            "circuits": circuits,
            "raceways": {f"R{tag}": dict(RACEWAY) for tag in circuits},
        }
        with TemporaryDirectory() as folder:
            path = Path(folder) / "project.yaml"
            path.write_text(yaml.safe_dump(data, allow_unicode=True, default_style='"'), encoding="utf-8")
            system = load_project(path).system
        return evaluate(system, CodeBook(edition), with_suggestions=False)


# Breakers of 180 A for loads: with a source among them no main panel of 200 A holds by the sum of its breakers.
LOADS = {"MSP.1": 60.0, "MSP.2": 60.0, "MSP.5": 60.0}


def load_side(output: float = 32, device: float = 40) -> House:
    return House("MSP.main", {"MSP": panel(200, 200), "INV1": inverter(output)}, {"C1": circuit("INV1.ac", "MSP.37", device)}, LOADS)


SUPPLY_SIDE = House(
    "JT",
    {
        "JT": {"kind": "junction_box"},
        "MSP": panel(200, 200),
        "PVD": {"kind": "disconnect", "purpose": "pv system", "rating": "60 A", "device": breaker(40)},
        "INV1": inverter(32),
    },
    {
        "S2": {"from": "JT", "to": "MSP.main", "conductors": dict(SERVICE)},
        "T1": circuit("JT", "PVD.line", size="6 AWG"),
        "C1": circuit("INV1.ac", "PVD.load", size="8 AWG"),
    },
    LOADS,
)


def whole_home(load_device: float | None = None, *, legacy: bool = False) -> House:
    equipment = {"MID": interconnect(200, load_device), "MSP": panel(200, 200), "INV1": inverter(32), "ESS1": storage(40)}
    circuits = {
        "F1": circuit("MID.load", "MSP.main"),
        "C1": circuit("INV1.ac", "MID.PV", 40),
        "C2": circuit("ESS1", "MID.BAT", 50),
    }
    if legacy:
        equipment["INV2"] = inverter(16)
        circuits["C3"] = circuit("INV2.ac", "MSP.37", 20)
    return House("MID.supply", equipment, circuits, LOADS)


def partial(limit: str = "") -> House:
    held = {"power_control_limit": limit} if limit else {}
    main = panel(200, 200, power_control_monitored="no")
    return House(
        "MSP.main",
        {"MSP": main, "MID": interconnect(None), "BLP": panel(125, 100), "INV1": inverter(32, **held), "ESS1": storage(40, **held)},
        {
            "F1": circuit("MSP.37", "MID.supply", 100, at="from_end", size="1 AWG"),
            "F2": circuit("MID.load", "BLP.main", size="1 AWG"),
            "C1": circuit("INV1.ac", "MID.PV", 40),
            "C2": circuit("ESS1", "MID.BAT", 50),
        },
        LOADS,
    )


COMBINING = House(
    "MID.supply",
    {
        "MID": interconnect(200),
        "MSP": panel(200, 200),
        "ECP": panel(125, None, role="ess combiner"),
        **{f"ESS{i}": storage(32) for i in (1, 2, 3)},
    },
    {
        "F1": circuit("MID.load", "MSP.main"),
        "B": circuit("ECP.main", "MID.BAT", 125),
        **{f"C{i}": circuit(f"ESS{i}", f"ECP.{position}", 40) for i, position in ((1, 1), (2, 2), (3, 5))},
    },
    LOADS,
)
DETACHED = House(
    "MSP.main",
    {"MSP": panel(200, 200), "DET": panel(100, None), "INV1": inverter(24)},
    {"F1": circuit("MSP.37", "DET.main", 60, at="from_end", size="6 AWG"), "C1": circuit("INV1.ac", "DET.37", 30)},
    LOADS,
)

SUM, PERCENT_120, BREAKERS = "sum of ratings", "opposite end, 120 percent", "sum of breakers"


@dataclass(frozen=True)
class Row:
    """``compared`` are (method, computed, limit) in amperes; ``method`` is the one that holds."""

    name: str
    house: House
    bus: str
    verdict: str
    compared: tuple[tuple[str, float, float], ...] = ()
    method: str = ""
    editions: tuple[int, ...] = EDITIONS


MATRIX = (
    Row("load side, 32 A", load_side(), "MSP", "passes", ((SUM, 240, 200), (PERCENT_120, 240, 240)), PERCENT_120),
    Row("load side, 33 A", load_side(33, 45), "MSP", "violated", ((SUM, 241.25, 200), (PERCENT_120, 241.25, 240))),
    Row("supply side", SUPPLY_SIDE, "MSP", "does not apply"),
    Row("whole home, load lugs", whole_home(), "MID", "passes", ((SUM, 290, 200), (PERCENT_120, 290, 240), (BREAKERS, 90, 200)), BREAKERS),
    # Service equipment is in no feeder: that the load breaker would protect a feeder, 705.12(A)(2), does not protect its busbar.
    Row("whole home, load breaker", whole_home(200), "MID", "violated", ((SUM, 290, 200), (PERCENT_120, 290, 240), (BREAKERS, 290, 200))),
    Row("whole home, main panel behind its own main", whole_home(), "MSP", "does not apply"),
    Row("older PV on the main panel", whole_home(legacy=True), "MSP", "passes", ((SUM, 220, 200), (PERCENT_120, 220, 240)), PERCENT_120),
    Row(
        "whole home, older PV reaches the interconnect device too",
        whole_home(legacy=True),
        "MID",
        "passes",
        ((SUM, 310, 200), (PERCENT_120, 310, 240), (BREAKERS, 90, 200)),
        BREAKERS,
    ),
    Row("partial backup behind 100 A", partial(), "MSP", "violated", ((SUM, 290, 200), (PERCENT_120, 290, 240), (BREAKERS, 280, 200))),
    Row("partial backup held to 32 A", partial("16 A"), "MSP", "passes", ((PERCENT_120, 240, 240),), PERCENT_120, (2020, 2023)),
    Row("partial backup held to 32 A before 2020", partial("16 A"), "MSP", "violated", ((PERCENT_120, 290, 240),), "", (2017,)),
    # 190 A would be within 240 A too, but the terminals of an interconnect device have no positions to judge by.
    Row("partial backup", partial(), "MID", "passes", ((SUM, 190, 200),), SUM),
    Row("three batteries", COMBINING, "ECP", "passes", ((BREAKERS, 120, 125),), BREAKERS),
    Row("detached building", DETACHED, "DET", "passes", ((SUM, 90, 100), (PERCENT_120, 90, 120)), SUM),
    Row("house of a detached building", DETACHED, "MSP", "passes", ((SUM, 230, 200), (PERCENT_120, 230, 240)), PERCENT_120),
)
EVERY = [pytest.param(row, edition, id=f"{row.name}, {edition}") for row in MATRIX for edition in row.editions]


def parts_of(judgement: Judgement) -> Iterator[Judgement]:
    yield judgement
    for part in judgement.parts:
        yield from parts_of(part)


@pytest.mark.sample(every=5)
@pytest.mark.parametrize(("row", "edition"), EVERY)
def test_a_busbar_sees_the_check_it_is_due(row: Row, edition: int) -> None:
    judgement = row.house.evaluated(edition).by_id[f"busbar-sources:{row.bus}"].judgement
    told = [(part.method, part.message) for part in parts_of(judgement)]
    assert str(judgement.verdict) == row.verdict, told
    if row.method:
        assert judgement.method == row.method, told
    for method, computed, limit in row.compared:
        ways = [part for part in parts_of(judgement) if part.method == method]
        numbers = [(way.computed.number, way.limit.number) for way in ways if way.computed is not None and way.limit is not None]
        assert any(pair == pytest.approx((computed, limit)) for pair in numbers), (method, numbers)


@pytest.mark.parametrize("edition", EDITIONS)
def test_conductors_of_the_feeder_to_a_backup_panel_carry_125_percent_of_the_sources(edition: int) -> None:
    """1.25 x 72 = 90 A on a device of 100 A, which protects its conductors: 1 AWG copper carries 110 A at 60 °C."""
    by_id = partial().evaluated(edition).by_id
    device, conductors = by_id["overcurrent-rating:MSP.37"].judgement, by_id["conductor-protection:F1"].judgement
    assert (str(device.verdict), str(conductors.verdict)) == ("passes", "passes"), (device.message, conductors.message)
    compared = [(part.computed.number, part.limit.number) for part in parts_of(device) if part.computed and part.limit]
    assert any(pair == pytest.approx((100, 90)) for pair in compared), compared


@pytest.mark.parametrize(("edition", "computed", "limit"), [(2017, 40, 200), (2020, 32, 180), (2023, 32, 180)])
def test_sources_on_the_supply_side_stay_within_the_service(edition: int, computed: float, limit: float) -> None:
    """2017: devices of the sources within the rating of the service, 705.12(A). From 2020: outputs within the conductors, 705.11."""
    judgement = SUPPLY_SIDE.evaluated(edition).by_id["supply-side-sources:UTIL"].judgement
    assert judgement.computed is not None
    assert judgement.limit is not None
    assert (str(judgement.verdict), judgement.computed.number, judgement.limit.number) == ("passes", computed, limit), judgement.message
