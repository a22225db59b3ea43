"""Voltage drop of whole circuits against a network solution by OpenDSS (Electric Power Research Institute), an open library.

OpenDSS solves the complex network for a load of constant current; the program takes the length, the current and the effective
impedance of Chapter 9 Table 9, Note 2 (R cos φ + X sin φ). The part at right angles to the voltage, which that note leaves out, stays
under two hundredths of a percent of the nominal voltage for drops under five percent. Impedances are those of Table 9, Ω/kft, typed here.
"""

from __future__ import annotations

import pytest
from opendssdirect import dss

from permitgen.rules.quantities.circuit_current import circuit_current
from permitgen.rules.quantities.voltage_drop import drop_v, rise_v

# Table 9, 75 °C: resistance and reactance of copper in PVC and in steel conduit.
TABLE_9 = {
    ("8 AWG", "PVC-40"): (0.78, 0.052),
    ("8 AWG", "EMT"): (0.78, 0.065),
    ("1 AWG", "PVC-40"): (0.15, 0.046),
    ("1 AWG", "EMT"): (0.16, 0.057),
    ("4/0 AWG", "PVC-40"): (0.062, 0.041),
    ("4/0 AWG", "EMT"): (0.063, 0.051),
}


def network_drop_v(volts, amperes, power_factor, resistance, reactance):
    """Difference of the magnitudes of the voltages at the two ends of a line, V; a negative current feeds in."""
    watts = abs(volts * amperes * power_factor) / 1000
    element = "load.l" if amperes > 0 else "generator.g"
    dss.Text.Command("clear")
    for command in (
        f"new circuit.c phases=1 bus1=src.1 basekv={volts / 1000} Isc1=1e9 Isc3=1e9",
        f"new line.w phases=1 bus1=src.1 bus2=end.1 r1={resistance} x1={reactance} r0={resistance} x0={reactance} c1=0 c0=0"
        " length=1 units=none",
        f"new {element} phases=1 bus1=end.1 kv={volts / 1000} kw={watts} pf={power_factor}"
        + (" model=5 vminpu=0.5 vmaxpu=1.5" if amperes > 0 else " model=1 vminpu=0.5 vmaxpu=1.5"),
        f"set voltagebases=[{volts / 1000}]",
        "calcvoltagebases",
        "set tolerance=1e-9",
        "solve",
    ):
        dss.Text.Command(command)
    dss.Circuit.SetActiveBus("end")
    return volts - dss.Bus.VMagAngle()[0]


@pytest.mark.parametrize("power_factor", [1.0, 0.9, 0.8])
@pytest.mark.parametrize(("size", "raceway"), TABLE_9)
def test_a_branch_circuit(given_for, size, raceway, power_factor):
    amperes, feet = {"8 AWG": (32, 60), "1 AWG": (90, 120), "4/0 AWG": (180, 150)}[size]
    given = given_for(
        "one_branch",
        {
            "equipment.W1.current": f"{amperes} A",
            "equipment.W1.continuous": "no",
            "circuits.C1.power_factor": str(power_factor),
            "circuits.C1.conductors.size": size,
            "raceways.R1": {"kind": raceway, "trade_size": "3 in", "length": f"{feet} ft", "ambient": "30 °C"},
        },
    )
    circuit = given.system.circuits["C1"]
    found = drop_v(given, circuit, circuit_current(given, circuit).maximum_a).number
    resistance, reactance = (2 * feet / 1000 * each for each in TABLE_9[size, raceway])
    assert found == pytest.approx(network_drop_v(240, amperes, power_factor, resistance, reactance), abs=0.0002 * 240)


@pytest.mark.parametrize("feet", [30, 90])
def test_an_inverter_raises_the_voltage(given_for, feet):
    """A generator of constant power at unity power factor in the network; the program takes its rated current."""
    given = given_for(
        "main_panel_with_source",
        {"raceways.R1.length": f"{feet} ft"},
    )
    circuit = given.system.circuits["C1"]
    amperes = circuit_current(given, circuit).maximum_a.number
    size, run = str(circuit.conductors.size), given.system.raceways["R1"].kind
    resistance, reactance = (2 * feet / 1000 * each for each in TABLE_9[f"{size} AWG" if "AWG" not in size else size, run])
    found = rise_v(given, circuit, circuit_current(given, circuit).maximum_a).number
    assert found == pytest.approx(-network_drop_v(240, -amperes, 1.0, resistance, reactance), rel=0.03)
