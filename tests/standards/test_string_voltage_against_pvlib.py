"""Cold open-circuit voltage against the single-diode model of pvlib, with the module parameters of the California Energy Commission.

pvlib (an open library) ships the table that the System Advisor Model of the National Renewable Energy Laboratory published with
the six-parameter model: some 20,000 crystalline modules. The code lets a designer extrapolate the open-circuit voltage in a straight
line by the maker's coefficient; the model bends a little upward in the cold, so that the line lies under it by about a percent.
Tolerances are stated beside each check; a model whose adjusted parameters leave the physical range is no reference and is left out.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from permitgen.code.codebook import CodeBook
from permitgen.code.equations.photovoltaic import (
    cold_module_voltage_by_table_v,
    cold_module_voltage_by_volts_v,
    cold_module_voltage_v,
    string_voltage_v,
)
from permitgen.rules.quantities.pv_voltage import voltage_methods

CRYSTALLINE = ("Mono-c-Si", "Multi-c-Si")
EVERY = 20
SUN_W_PER_M2, STANDARD_C = 1000.0, 25.0


@cache
def modules():
    """Columns of the published table for every twentieth crystalline module with a coefficient between -0.45 and -0.2 percent/°C."""
    from pvlib import pvsystem  # the library takes longer to import than the test, in every worker that only collects it

    table = pvsystem.retrieve_sam("CECMod").T
    table = table[table["Technology"].isin(CRYSTALLINE)].iloc[::EVERY]
    columns = {
        name: table[name].to_numpy(dtype=float)
        for name in ("V_oc_ref", "beta_oc", "alpha_sc", "a_ref", "I_L_ref", "I_o_ref", "R_sh_ref", "R_s", "Adjust")
    }
    percent = 100 * columns["beta_oc"] / columns["V_oc_ref"]
    kept = (percent > -0.45) & (percent < -0.2) & (abs(columns["Adjust"]) < 20)
    return {name: values[kept] for name, values in columns.items()}


def by_the_model_v(cell_c):
    """Open-circuit voltage of each module at 1000 W/m² and ``cell_c``, V, by the single-diode equation."""
    m = modules()
    from pvlib import pvsystem

    five = pvsystem.calcparams_cec(
        SUN_W_PER_M2, cell_c, m["alpha_sc"], m["a_ref"], m["I_L_ref"], m["I_o_ref"], m["R_sh_ref"], m["R_s"], m["Adjust"]
    )
    return np.asarray(pvsystem.singlediode(*five)["v_oc"])


def by_the_line_v(lowest_c):
    m = modules()
    volts = [
        cold_module_voltage_by_volts_v(open_v, slope, lowest_c, STANDARD_C)
        for open_v, slope in zip(m["V_oc_ref"], m["beta_oc"], strict=True)
    ]
    return np.asarray(volts)


def test_there_are_enough_modules_to_say_something():
    assert len(modules()["V_oc_ref"]) > 500


def test_at_standard_conditions_both_give_the_nameplate():
    assert by_the_line_v(STANDARD_C) == pytest.approx(modules()["V_oc_ref"])
    assert by_the_model_v(STANDARD_C) == pytest.approx(modules()["V_oc_ref"], rel=0.005)


@pytest.mark.parametrize(
    ("lowest_c", "median", "nearly_all"), [(0.0, 0.01, 0.025), (-10.0, 0.015, 0.035), (-23.0, 0.02, 0.045), (-40.0, 0.025, 0.06)]
)
def test_the_straight_line_follows_the_model(lowest_c, median, nearly_all):
    """Half of the modules within ``median``, 19 of 20 within ``nearly_all`` of the model; never the wrong way round."""
    apart = abs(by_the_line_v(lowest_c) / by_the_model_v(lowest_c) - 1)
    assert np.median(apart) < median
    assert np.percentile(apart, 95) < nearly_all
    assert (by_the_line_v(lowest_c) > modules()["V_oc_ref"]).all()


def test_a_coefficient_in_percent_is_the_same_line():
    m = modules()
    volts = [
        cold_module_voltage_v(open_v, 100 * slope / open_v, -23.0, STANDARD_C)
        for open_v, slope in zip(m["V_oc_ref"], m["beta_oc"], strict=True)
    ]
    assert np.asarray(volts) == pytest.approx(by_the_line_v(-23.0))


@pytest.mark.parametrize("lowest_c", [20, 10, 0, -10, -20, -30, -40])
def test_the_table_of_the_code_lies_over_the_usual_module(lowest_c):
    """Table 690.7(A): its factors are meant for any crystalline module, so the median module stays under them, by at most 6 percent."""
    factor = CodeBook(2020).table("pv_voltage_correction").band(lowest_c, "voltage").number
    by_table = np.asarray([cold_module_voltage_by_table_v(open_v, factor) for open_v in modules()["V_oc_ref"]])
    over = by_table / by_the_model_v(float(lowest_c))
    assert 1.0 <= np.median(over) < 1.06


def test_a_string_is_the_sum_of_its_modules():
    """Ten modules in series: Kirchhoff's voltage law on the model's own voltages."""
    one = by_the_model_v(-23.0)
    assert [string_voltage_v(10.0, volts) for volts in one] == pytest.approx(list(sum([one] * 10)))


@pytest.mark.parametrize("row", [0, 100, 200, 300, 400])
def test_the_string_of_a_project(given_for, row):
    """Ten modules in series at -20 °C, typed into a project as voltage and coefficient: within 4 percent of the model."""
    m = modules()
    open_v, slope = m["V_oc_ref"][row], m["beta_oc"][row]
    changes = {"catalog.module-400.voc": f"{open_v:.6f} V", "catalog.module-400.voc_coefficient": f"{100 * slope / open_v:.6f} %/°C"}
    given = given_for("string_inverter", changes)
    array = given.system.equipment["PV1"]
    (by_coefficient,) = (method for method in voltage_methods(given, array) if "coefficient" in method.name)
    assert 10 * by_coefficient.module_v.number == pytest.approx(10 * by_the_model_v(-20.0)[row], rel=0.04)
