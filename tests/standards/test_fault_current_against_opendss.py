"""Available fault current of whole projects against a network solution by OpenDSS (Electric Power Research Institute), an open library.

OpenDSS solves the complex network; the program walks its graph and adds resistances and reactances. The center-tapped transformer
is entered in OpenDSS as three windings with the textbook relations of its manual (R: half, whole, whole; X: 1.2, 1.2, 0.8), so that
the line-to-neutral fault comes out of a network and not out of our half-winding factors. Impedances of conductors are those of
Chapter 9 Table 9 with resistance at 25 °C (Table 8, Note 2: 1 + 0.00323 x (25 - 75) copper, 0.0033 aluminum), typed here by hand.
"""

from __future__ import annotations

import pytest
from opendssdirect import dss

from permitgen.rules.quantities.fault_current import beyond_conductors

COLD = {"copper": 1 - 0.00323 * 50, "aluminum": 1 - 0.0033 * 50}
# Chapter 9 Table 9, Ω/kft at 75 °C: 4/0 aluminum in PVC and in steel, 3/0 copper in steel, 8 AWG copper in steel.
AL_40_PVC, AL_40_STEEL, CU_30_STEEL, CU_8_STEEL = (0.10, 0.041), (0.10, 0.051), (0.079, 0.052), (0.78, 0.065)


def by_kind(given, node):
    return {kind: value.number for kind, value in beyond_conductors(given, node).by_kind}


def loop(segments):
    """Out and back, Ω: (table resistance and reactance, length in ft, material, sets)."""
    # A nanoohm, because a network knows no line without impedance.
    return 1e-9 + sum(complex(r * COLD[material], x) * 2 * feet / 1000 / sets for (r, x), feet, material, sets in segments)


def solve(commands):
    dss.Text.Command("clear")
    for command in commands:
        dss.Text.Command(command)
    dss.Text.Command("set voltagebases=[7.2]")
    dss.Text.Command("solve")
    dss.Circuit.SetActiveElement("fault.f")
    magnitudes = dss.CktElement.CurrentsMagAng()[::2]
    return max(magnitudes)


def transformer_faults(kva, r_percent, x_percent, segments):
    """Line-to-line and line-to-neutral fault currents beyond the conductors, A."""
    z = loop(segments)
    lines = (
        "new circuit.c phases=1 bus1=src.1 basekv=7.2 Isc1=1e9 Isc3=1e9",
        f"new transformer.t phases=1 windings=3 buses=[src.1.0 lv.1.0 lv.0.2] kvs=[7.2 0.12 0.12] kvas=[{kva} {kva} {kva}]"
        f" %Rs=[{r_percent / 2} {r_percent} {r_percent}] xhl={1.2 * x_percent} xht={1.2 * x_percent} xlt={0.8 * x_percent}",
        f"new line.l phases=1 bus1=lv.1 bus2=p.1 r1={z.real} x1={z.imag} r0={z.real} x0={z.imag} c1=0 c0=0 length=1 units=none",
    )
    return (
        solve([*lines, "new fault.f phases=1 bus1=p.1 bus2=lv.2 r=1e-7"]),
        solve([*lines, "new fault.f phases=1 bus1=p.1 bus2=p.0 r=1e-7"]),
    )


def stated_fault(volts, amperes, ratio, segments):
    """Fault current beyond the conductors behind a source of a stated current and X/R, A."""
    resistance = volts / amperes / (1 + ratio**2) ** 0.5
    reactance = resistance * ratio
    impedance = f"r1={resistance} x1={reactance} r0={resistance} x0={reactance}"
    z = loop(segments)
    return solve(
        [
            f"new circuit.c phases=1 bus1=src.1 basekv={volts / 1000} {impedance}",
            f"new line.l phases=1 bus1=src.1 bus2=p.1 r1={z.real} x1={z.imag} r0={z.real} x0={z.imag} c1=0 c0=0 length=1 units=none",
            "new fault.f phases=1 bus1=p.1 r=1e-7",
        ]
    )


@pytest.mark.parametrize("feet", [0, 20, 60, 150])
@pytest.mark.parametrize(("kva", "impedance", "ratio"), [(25, 2.0, 1.3333333333), (50, 1.5, 2.0), (37.5, 2.2, 0.8)])
def test_transformer_and_service_conductors(given_for, kva, impedance, ratio, feet):
    given = given_for(
        "one_branch",
        {
            "equipment.UTIL.available_fault_current": None,
            "equipment.UTIL.transformer": f"{kva} kVA",
            "equipment.UTIL.transformer_impedance": f"{impedance} %",
            "equipment.UTIL.x_over_r": f"{ratio:.10f}",
            "raceways.R0.length": f"{feet} ft",
        },
    )
    found = by_kind(given, "MSP.main")
    resistance = 0.9 * impedance / (1 + ratio**2) ** 0.5
    line, neutral = transformer_faults(kva, resistance, resistance * ratio, [(AL_40_PVC, feet, "aluminum", 1)])
    assert found["line to line"] == pytest.approx(line, rel=1e-4)
    assert found["line to neutral"] == pytest.approx(neutral, rel=1e-4)


@pytest.mark.parametrize("ratio", [0.5, 3.0, 10.0])
def test_stated_current_and_a_chain_of_circuits(given_for, ratio):
    """Service point, meter, interconnect device, feeder, branch circuit: 9 kA less 60 + 1.5 + 26 + 30 ft."""
    given = given_for(
        "whole_home_island",
        {"equipment.UTIL.x_over_r": str(ratio), "circuits.C6.conductors.size": "8 AWG"},
    )
    segments = [(AL_40_PVC, 60, "aluminum", 1), (AL_40_STEEL, 1.5, "aluminum", 1)]
    assert by_kind(given, "MID.bus")["line to line"] == pytest.approx(stated_fault(240, 9000, ratio, segments), rel=1e-4)
    segments += [(CU_30_STEEL, 26, "copper", 1)]
    assert by_kind(given, "HP.bus")["line to line"] == pytest.approx(stated_fault(240, 9000, ratio, segments), rel=1e-4)
    segments += [(CU_8_STEEL, 30, "copper", 1)]
    assert by_kind(given, "W1.input")["line to line"] == pytest.approx(stated_fault(240, 9000, ratio, segments), rel=1e-4)


def test_parallel_sets_halve_the_run(given_for):
    given = given_for("one_branch", {"equipment.UTIL.x_over_r": "3", "circuits.S1.conductors.sets": "2"})
    assert by_kind(given, "MSP.main")["line to line"] == pytest.approx(
        stated_fault(240, 9000, 3, [(AL_40_PVC, 40, "aluminum", 2)]), rel=1e-4
    )


@pytest.mark.parametrize("ratio", [0.01, 0.3, 1.0, 3.0, 30.0, 1000.0])
def test_an_unknown_split_is_never_below_a_known_one(given_for, ratio):
    """Without X/R the program takes the split that leaves the most; a network with any split may not exceed it."""
    unknown = by_kind(given_for("one_branch", {}), "MSP.main")["line to line"]
    assert stated_fault(240, 9000, ratio, [(AL_40_PVC, 40, "aluminum", 1)]) <= unknown * (1 + 1e-6)


def test_the_scalar_method_is_not_above_the_network(given_for):
    """The cross-check adds magnitudes at 75 °C, so it stays at or below the network's current (worked example WE-FLT-05)."""
    given = given_for("one_branch", {"equipment.UTIL.x_over_r": "1.3333333333"})
    scalar = beyond_conductors(given, "MSP.main").point_to_point_a.number
    factor = 2 * 40 * 9000 * abs(complex(*AL_40_PVC)) / (1000 * 240)
    assert scalar == pytest.approx(9000 / (1 + factor), rel=1e-9)
    assert scalar <= stated_fault(240, 9000, 1.3333333333, [(AL_40_PVC, 40, "aluminum", 1)])
