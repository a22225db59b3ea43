"""Homes made by hand, each with one thing wrong, or one that only looks wrong; the rest of each home is in order."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from tests.oracle.home import (
    Device,
    Feeder,
    Generator,
    Home,
    Inlet,
    Island,
    Load,
    Panel,
    Run,
    Service,
    Siting,
    Source,
    Standby,
    Strings,
    SupplySide,
    Switch,
    Wire,
)

LATERAL = Wire("4/0", Run("PVC-40", "2", 62, "underground", 30), "aluminum", "XHHW-2", neutral="4/0")
ENTRANCE = replace(LATERAL, run=Run("RMC", "2", 1.5, "outdoors", 36))
SERVICE = Service(LATERAL, ENTRANCE)
EMT = Run("EMT", "1", 12, "outdoors", 36)
ONE_PLACE = Siting(13.4)
LOADS = (Load("cooking", 8000), Load("dryer", 5000), Load("water heater", 2400), Load("general", 2400, both_legs=False))


def circuit(size: str, ground: str, run: Run = EMT) -> Wire:
    return Wire(size, run, ground=ground)


STRINGS = Strings(2, 10, 40, 12, -0.3, 20, circuit("10", "10", Run("EMT", "1", 38, "roof", 36, above_roof_in=2)))
INVERTER = Source("INV1", "inverter", 32, Device(40), circuit("8", "10"), 37, largest_device=50, strings=STRINGS)
SERVICE_PANEL = Panel("MSP", 200, Device(200))
TAP = Wire("6", Run("RMC", "1", 4, "outdoors", 36), neutral="6")


def branch(name: str, space: int, units: int = 10) -> Source:
    return Source(name, "branch", 1.6, Device(20), circuit("12", "12"), space, units, largest_device=20, largest_units=10)


def battery(name: str, space: int, output: float = 24) -> Source:
    return Source(name, "battery", output, Device(30), circuit("10", "10"), space, largest_device=30, siting=ONE_PLACE)


def feeder_wire(size: str, ground: str, *, material: str = "copper", trade_size: str = "1-1/2") -> Wire:
    run = Run("EMT", trade_size, 30, "indoors", 30)
    return Wire(size, run, material, "XHHW-2" if material == "aluminum" else "THWN-2", neutral=size, ground=ground)


def with_sources(name: str, *sources: Source, panel: Panel = SERVICE_PANEL, edition: int = 2023) -> Home:
    return Home(name, edition, SERVICE, replace(panel, sources=sources))


def supply_side(name: str, source: Source = INVERTER, tap: Wire = TAP, edition: int = 2023, service: Service = SERVICE) -> Home:
    return Home(name, edition, service, SERVICE_PANEL, supply_side=(SupplySide(source, 60, tap),))


def standby(
    name: str,
    feeder_a: float = 60,
    generator_a: float = 60,
    *,
    poles: int = 2,
    neutral: str = "4",
    load_wire: Wire | None = None,
    wire_ground: str = "10",
    output_a: float | None = None,
    load_va: float = 8000,
) -> Home:
    feeder = Feeder(
        "F1",
        Device(feeder_a),
        feeder_wire("6" if feeder_a <= 60 else "3", "10" if feeder_a <= 60 else "8"),
        Panel("EMP1", 125, None, spaces=20),
    )
    run = Run("PVC-40", "1-1/4", 32, "underground", 30)
    wire = Wire("4" if generator_a <= 80 else "2", run, neutral=neutral, ground=wire_ground)
    generator = Generator("GEN1", output_a or generator_a * 0.95, Device(generator_a, poles), wire)
    made = Standby(1, feeder, 100, load_wire or feeder_wire("3", "8"), generator, load_va)
    return Home(name, 2023, SERVICE, SERVICE_PANEL, standby=(made,), loads=LOADS)


def island(name: str, **more: Any) -> Home:
    """Two batteries and an inverter behind an interconnect device that is the service equipment."""
    size, run = "3/0", Run("EMT", "2", 26, "indoors", 30)
    batteries = (battery("ESS1", 0), battery("ESS2", 0))
    made = Island(Device(200), 200, batteries, INVERTER, Wire(size, run, neutral=size, ground="6"), Panel("HP", 200, Device(200)))
    loads = (Load("cooking", 8000), Load("general", 2400, both_legs=False))
    return Home(name, 2020, SERVICE, SERVICE_PANEL, island=replace(made, **more), loads=loads)


def inlet(name: str, neutral: str = "10", *, device: Device = Device(30)) -> Home:  # noqa: B008
    wire = Wire("10", Run("EMT", "3/4", 10, "outdoors", 30), neutral=neutral, ground="10", terminal_c=60)
    return Home(name, 2023, SERVICE, SERVICE_PANEL, inlet=Inlet(30, device, wire))


def subpanel(name: str, feeder_a: float, wire: Wire, panel: Panel, **more: Any) -> Home:
    return Home(name, 2023, SERVICE, SERVICE_PANEL, feeders=(replace(Feeder("F1", Device(feeder_a), wire, panel, 37), **more),))


def switched(name: str, rating: float, voltage: float) -> Home:
    return Home(name, 2023, SERVICE, SERVICE_PANEL, switch=Switch(rating, voltage, Device(200), feeder_wire("3/0", "6", trade_size="2")))


HOT_BRANCHES = (branch("PV1", 1, 8), branch("PV2", 2, 8), branch("PV3", 3, 8))
HOT = Run("EMT", "1", 12, "outdoors", 55, others=4)
COMBINER = Source("K1", "combiner", 0, Device(50), circuit("6", "10", HOT), 37, branches=HOT_BRANCHES)
STRONG = replace(battery("ESS1", 0, 40), device=Device(50), largest_device=50, wire=circuit("8", "10"))
UNFASTENED = replace(battery("ESS1", 0), device=Device(30, fastened=False))
OWN_DEVICE = {
    "load_device": Device(100),
    "batteries": (STRONG, replace(STRONG, name="ESS2")),
    "feeder_wire": feeder_wire("3", "8"),
    "panel": Panel("HP", 125, Device(100)),
}
LIMITED = replace(INVERTER, unit_a=33.3, limit_a=5.0, device=Device(15), wire=circuit("14", "14"))
TOO_HOT = Wire("8", Run("EMT", "1", 12, "roof", 36, above_roof_in=0.5), insulation="TW", ground="10", terminal_c=60)
SUB_INVERTER = replace(INVERTER, space=17)
WIDE = replace(SERVICE_PANEL, busbar=225)


def crowded(place: str, ambient_c: float) -> Source:
    """36 A behind 45 A on 8 AWG among seven conductors: 55 A x 0.7 x 1.04 = 40.04 A at 25 °C, x 0.91 = 35.035 A at 36 °C."""
    run = Run("EMT", "1-1/4", 12, place, ambient_c, others=5)
    return replace(INVERTER, unit_a=36, device=Device(45), wire=circuit("8", "10", run))


def hot_roof(ambient_c: float) -> Source:
    """1.25 x 12 A on 12 AWG among four conductors near a roof: 30 A x 0.8 x 0.58 = 13.92 A at 36 + 33 °C, 24 A at 33 K above -5 °C."""
    run = Run("EMT", "1", 38, "roof", ambient_c, above_roof_in=0.5)
    return replace(INVERTER, strings=replace(STRINGS, wire=circuit("12", "12", run)))


SOURCE_PANEL = Panel("SUB", 100, Device(100), (SUB_INVERTER,), 20)
SECOND_BUILDING = {"outbuilding": True, "electrode_conductor": "8"}

PROBES: Mapping[str, Home] = {
    home.name: home
    for home in (
        with_sources("in order", branch("PV1", 37), branch("PV2", 38)),
        with_sources("a branch beside the main", branch("PV1", 37), branch("PV2", 1), edition=2020),
        with_sources(
            "center-fed, sources at both ends",
            branch("PV1", 1),
            branch("PV2", 37),
            panel=replace(SERVICE_PANEL, supply_end="center"),
            edition=2020,
        ),
        with_sources("120 percent exceeded", INVERTER, battery("ESS1", 38)),
        with_sources("combiner output in a hot place", COMBINER, panel=WIDE),
        with_sources("power control limit, 2020", LIMITED, edition=2020),
        with_sources("power control limit, 2017", LIMITED, edition=2017),
        with_sources("insulation below its ambient", replace(INVERTER, wire=TOO_HOT)),
        with_sources("outdoors, cooler than the site", crowded("outdoors", -5), panel=WIDE),
        with_sources("indoors, cooler than the site", crowded("indoors", 25), panel=WIDE),
        with_sources("near a roof, cooler than the site", hot_roof(-5)),
        with_sources("inverter not listed as interactive", replace(INVERTER, interactive_listed=False)),
        with_sources("battery not listed as interactive", replace(battery("ESS1", 37), interactive_listed=False)),
        with_sources("input current below the array's", replace(INVERTER, strings=replace(STRINGS, largest_input_a=10.0))),
        with_sources("inverter in a narrow place", replace(INVERTER, clear_width_in=24.0)),
        with_sources("one-pole main", branch("PV1", 37), panel=replace(SERVICE_PANEL, main=Device(200, 1))),
        with_sources("one-pole source breaker", replace(INVERTER, device=Device(40, 1))),
        with_sources("busbar of half the main", panel=replace(SERVICE_PANEL, busbar=100)),
        with_sources("breaker out of reach", panel=replace(SERVICE_PANEL, grip_in=84.0)),
        with_sources("pipes above the panel", panel=replace(SERVICE_PANEL, dedicated_clear=False)),
        supply_side("fuse below 125 percent", replace(INVERTER, device=Device(20))),
        supply_side("fuse above the maker's", replace(INVERTER, device=Device(60), wire=circuit("6", "10"))),
        supply_side("one-pole fused switch", replace(INVERTER, device=Device(40, 1))),
        supply_side("tap below 125 percent", replace(INVERTER, unit_a=52.5, device=Device(70), largest_device=70, wire=circuit("4", "8"))),
        supply_side(
            "weaker second service conductor",
            replace(
                INVERTER, unit_a=128, device=Device(175), largest_device=175, wire=circuit("2/0", "6", Run("EMT", "2", 12, "outdoors", 30))
            ),
            Wire("2/0", Run("RMC", "2", 4, "outdoors", 30), neutral="2/0"),
            service=replace(SERVICE, entrance=replace(ENTRANCE, size="1/0", neutral="1/0")),
        ),
        standby("generator larger than the utility's breaker", 60, 90, load_wire=feeder_wire("3", "10"), wire_ground="8", neutral="2"),
        standby("generator smaller than the utility's breaker", 80, 60),
        standby("one-pole generator breaker", poles=1),
        standby("thin neutral at the generator", neutral="14"),
        standby("load between a generator's breaker and its output", output_a=61, load_va=14600),
        standby("load within a generator's breaker", output_a=61, load_va=14400),
        inlet("thin neutral at the inlet", "14"),
        inlet("marked breaker at the inlet", device=Device(30, marked_line_and_load=True)),
        island("one-pole interconnect device", main=Device(200, 1)),
        island("island feeder with a device of its own", **OWN_DEVICE),
        island("unfastened battery breaker", batteries=(UNFASTENED, battery("ESS2", 0))),
        island("interconnect device's busbar of half its main", busbar=100),
        island("the same, with its listing stated", busbar=100, listing=(200, 100)),
        switched("service switch of half its device", 100, 240),
        switched("service switch of 24 V", 200, 24),
        subpanel("smaller feeder breaker ahead", 60, feeder_wire("6", "10"), Panel("SUB", 100, Device(125), spaces=20)),
        subpanel(
            "sources behind a smaller feeder breaker", 60, feeder_wire("6", "10"), Panel("SUB", 100, Device(100), (SUB_INVERTER,), 20)
        ),
        subpanel("ground grown by exact areas", 60, feeder_wire("4", "8"), Panel("SUB", 125, Device(100), spaces=20)),
        subpanel(
            "electrode conductor of the workshop",
            125,
            replace(feeder_wire("1/0", "6"), run=Run("PVC-40", "2", 60, "underground", 30)),
            Panel("SUB", 125, Device(125), spaces=20),
            **SECOND_BUILDING,
        ),
        Home("60 °C at the meter", 2023, replace(SERVICE, meter_line_c=60), SERVICE_PANEL),
    )
}
