"""Worked examples of microinverter branches, string voltage, busbars, supply-side connections, storage and its places."""

from __future__ import annotations

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.code.equations import busbar, currents, energy_storage, overcurrent, photovoltaic
from permitgen.code.rounding import whole_count
from permitgen.code.standard_sizes import next_standard_rating_a, smallest_size_of_ampacity


def factor_of(book, provision="microinverter_branch", field="continuous_factor"):
    return book.provision(provision).value(field).number


def verdict(computed, limit):
    return "pass" if computed <= limit * (1 + 1e-9) else "violated"


def test_we_mic_01_mixed_units(example, book):
    total = sum(unit["count"] * unit["A"] for unit in example.inputs["units"])
    required = currents.required_continuous_current_a(factor_of(book), total)
    device = example.inputs["ocpd_A"]
    example.check(
        sum_A=total,
        limit_A=device / factor_of(book),
        required_ocpd_A=next_standard_rating_a(book, required),
        verdict=verdict(required, device),
    )


def test_we_mic_02_most_units(example, book):
    given = example.inputs
    units = whole_count(overcurrent.units_on_branch_count(given["ocpd_A"], factor_of(book), given["unit_A"]))
    example.check(
        max_units=units,
        current_A=units * given["unit_A"],
        required_A=currents.required_continuous_current_a(factor_of(book), units * given["unit_A"]),
    )


def test_we_mic_03_exactly_at_the_limit(example, book):
    given = example.inputs
    current = given["units"] * given["unit_A"]
    required = currents.required_continuous_current_a(factor_of(book), current)
    one_more = currents.required_continuous_current_a(factor_of(book), current + given["unit_A"])
    assert whole_count(overcurrent.units_on_branch_count(given["ocpd_A"], factor_of(book), given["unit_A"])) == given["units"]
    example.check(
        current_A=current,
        required_A=required,
        verdict=verdict(required, given["ocpd_A"]),
        verdict_11_units=verdict(one_more, given["ocpd_A"]),
    )


def cold_module(book, given):
    reference = book.provision("pv_voltage_by_coefficient").value("reference_c").number
    return photovoltaic.cold_module_voltage_v(given["Voc_V"], given["coeff_pct_per_C"], given["low_C"], reference)


def modules(limit_v, module_v):
    return whole_count(photovoltaic.modules_in_series_count(limit_v, module_v))


def test_we_voc_01_coefficient_in_percent(example, book):
    module = cold_module(book, example.inputs)
    dwelling = book.provision("pv_maximum_voltage").value("dwelling_v").number
    example.check(module_V=module, max_modules=modules(example.inputs["limit_V"], module), max_modules_600V=modules(dwelling, module))


def test_we_voc_02_two_rows_of_the_table(example, book):
    table = book.table("pv_voltage_correction")
    bands = example.inputs["low_C_bands"]
    for warm, cold in bands:
        assert table.band(warm, "voltage").number == table.band(cold, "voltage").number
    example.check(multipliers=[table.band(cold, "voltage").number for _, cold in bands])


def test_we_voc_03_the_whole_table(example, book):
    table = book.table("pv_voltage_correction")
    factors = [table.band(cold, "voltage").number for _, cold in example.inputs["rows_C"]]
    assert factors == [table.band(warm, "voltage").number for warm, _ in example.inputs["rows_C"]]
    assert len(table.bands[""]) == len(factors)
    module = photovoltaic.cold_module_voltage_by_table_v(49.5, table.band(-23, "voltage").number)
    example.check(factors=factors, example_12_modules_of_49_5V_at_minus_23C_V=photovoltaic.string_voltage_v(12, module))


def test_we_voc_06_reference_is_25_degrees(example, book):
    module = cold_module(book, example.inputs)
    example.check(
        module_V=module,
        max_modules=modules(example.inputs["limit_V"], module),
        string_11_V=photovoltaic.string_voltage_v(11, module),
    )


def test_we_pvc_02_inverter_output_is_the_nameplate(example, book):
    output = currents.current_of_power_a(example.inputs["inverter_W"], example.inputs["volts"])
    required = currents.required_continuous_current_a(factor_of(book, "source_conductors"), output)
    device = next_standard_rating_a(book, required)
    example.check(
        output_A=output,
        required_A=required,
        ocpd_A=device,
        size_75C=f"{smallest_size_of_ampacity(book, required, 'copper_75c').name} AWG Cu",
        egc=f"{book.table('equipment_grounding_conductor').band_text(device, 'copper').text} AWG Cu",
    )


def largest_output(book, given):
    rule = book.provision("opposite_end_120_percent")
    factors = rule.value("busbar_factor").number, rule.value("source_factor").number
    return busbar.largest_source_output_a(factors[0], given["busbar_A"], given["main_A"], factors[1]), factors[1]


def test_we_bus_01_main_of_150_on_200(example, book):
    output, factor = largest_output(book, example.inputs)
    example.check(max_source_device_A=factor * output, max_source_output_A_2017plus=output)


def test_we_bus_02_main_of_200_on_200(example, book):
    output, factor = largest_output(book, example.inputs)
    example.check(max_source_A=factor * output, max_125pct_A=factor * output, max_output_A=output)


def test_we_bus_05_sum_of_all_devices(example, book):
    given = example.inputs
    total = sum(given["source_devices_A"]) + sum(given["load_devices_A"])
    limit = busbar.busbar_limit_a(factor_of(book, "sum_of_breakers", "busbar_factor"), given["busbar_A"])
    example.check(sum_A=total, verdict=verdict(total, limit), sum_plus_one_A=total + 15, verdict_plus_one=verdict(total + 15, limit))


def test_we_bus_06_sum_of_ratings(example, book):
    given = example.inputs
    total = busbar.supply_and_sources_a(given["main_A"], factor_of(book, "sum_of_ratings", "source_factor"), given["output_A"])
    limit = busbar.busbar_limit_a(factor_of(book, "sum_of_ratings", "busbar_factor"), given["busbar_A"])
    example.check(sum_A=total, verdict=verdict(total, limit))


def test_we_bus_07_a_feeder_is_no_busbar(example, book):
    """The 20 A are those of the 2005 and 2008 text. Now the part beyond the connection carries the device and 125 % of the source:
    16 A of output, the whole of a 20 A device, are too much for 100 A conductors that the old text permitted.
    """
    feeder, device = example.inputs["feeder_A"], example.inputs["device_A"]
    permitted_then = busbar.busbar_limit_a(factor_of(book, "opposite_end_120_percent", "busbar_factor"), feeder) - device
    example.check(max_source_device_A=permitted_then)
    counted = busbar.sources_at_125_percent_a(factor_of(book, "feeder_with_source", "source_factor"), permitted_then / 1.25)
    assert busbar.feeder_beyond_connection_a(device, counted) == 120 > feeder


def test_we_sup_02_sum_of_sources_on_the_supply_side(example, book):
    service = book.table("conductor_ampacity").at("3/0", "copper_75c").number
    total = float(sum(example.inputs["source_outputs_A"]))
    example.check(
        sum_A=total,
        verdict=verdict(total, service),
        sum_with_16A_more=total + 16,
        verdict_with_16A_more=verdict(total + 16, service),
    )


@pytest.mark.parametrize("edition", ["2020", "2023"])
def test_we_sup_03_bonding_at_a_supply_side_disconnect(example, edition):
    book = CodeBook(edition)
    assert book.provision("supply_side_source_bonding").is_in_force
    assert not CodeBook("2017").provision("supply_side_source_bonding").is_in_force
    area = book.table("conductor_properties").at(("stranded", "6"), "area").number / 1000
    jumper = book.table("bonding_jumper").band_text(area, "copper", "copper").text
    example.check(mbj=f"{jumper} AWG Cu", neutral_minimum=f"{jumper} AWG Cu")


def direct_current(book, given):
    current = energy_storage.inverter_input_current_a(given["inverter_W"], given["lowest_V"], given["efficiency"])
    return current, currents.required_continuous_current_a(factor_of(book, "ess_conductors"), current)


def test_we_ess_01_input_current_at_22_volts(example, book):
    current, required = direct_current(book, example.inputs)
    example.check(current_A=current, required_A=required)


def test_we_ess_02_input_current_at_44_volts(example, book):
    current, required = direct_current(book, example.inputs)
    example.check(current_A=current, required_A=required, size_75C=f"{smallest_size_of_ampacity(book, required, 'copper_75c').name} AWG Cu")


def test_we_ess_04_charging_governs(example, book):
    governing = energy_storage.governing_storage_current_a(example.inputs["charge_A"], example.inputs["discharge_A"])
    required = currents.required_continuous_current_a(factor_of(book, "source_charging_load"), governing)
    example.check(
        required_A=required,
        ocpd_A=next_standard_rating_a(book, required),
        conductor=f"{smallest_size_of_ampacity(book, required, 'copper_75c').name} AWG Cu",
    )


PLACES = {
    "utility closet, basement, storage or utility space in the dwelling": "utility_space_kwh",
    "attached garage": "garage_kwh",
    "exterior wall": "exterior_wall_kwh",
    "detached garage": "garage_kwh",
}


@pytest.mark.parametrize("fire_code", ["IRC 2021", "IRC 2024", "NFPA 855 2020", "NFPA 855 2023", "IFC 2021"])
def test_we_sit_01_energy_by_place(example, fire_code):
    rule = CodeBook("2023", fire_code=fire_code).provision("ess_siting_energy")
    limits, verdicts = [], []
    for case in example.inputs["cases"]:
        if "unit_kWh" in case:
            unit = rule.value("unit_kwh").number
            verdicts.append("violated (unit above 20 kWh)" if case["unit_kWh"] > unit else "pass")
        else:
            limits.append(rule.value(PLACES[case["place"]]).number)
            verdicts.append(verdict(case["kWh"], limits[-1]))
    example.check(limits_kWh=limits, unit_kWh=unit, verdicts=verdicts)


def test_we_sit_02_spacing_and_openings(example, nec_2023):
    given = example.inputs
    spacing = nec_2023.provision("ess_spacing").value("between_units_ft").number
    opening = nec_2023.provision("ess_opening_clearance").value("from_openings_ft").number
    verdicts = ["violated without test report" if given["units_ft_apart"] < spacing else "pass"]
    verdicts += ["violated" if given[name] < opening else "pass" for name in ("distance_to_door_ft", "distance_to_window_ft")]
    example.check(unit_spacing_ft=spacing, opening_distance_ft=opening, verdicts=verdicts)
