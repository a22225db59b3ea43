"""Worked examples of ampacity, the two paths, overcurrent devices, taps, the dwelling rule and parallel conductors."""

from __future__ import annotations

from permitgen.code.equations import ampacity, currents, energy_storage, taps
from permitgen.code.equations.busbar import feeder_beyond_connection_a, sources_at_125_percent_a
from permitgen.code.equations.photovoltaic import short_circuit_multiplier_factor
from permitgen.code.rounding import whole_degrees_up
from permitgen.code.standard_sizes import largest_protecting_rating_a, next_standard_rating_a, smallest_size_of_ampacity
from permitgen.values.conductor_size import ALL_SIZES


def corrected(book, size, column, *, ambient_c=30, count=3):
    base = book.table("conductor_ampacity").at(size, column).number
    ambient = book.table("ambient_correction").band(whole_degrees_up(ambient_c), f"rated_{column.split('_')[1]}").number
    adjustment = book.table("conductor_count_adjustment").band(count, "adjustment").number
    return ampacity.corrected_ampacity_a(base, ambient, adjustment)


def size_of(book, at_least_a, column):
    return smallest_size_of_ampacity(book, at_least_a, column).name


def continuous(book, current_a):
    return currents.required_continuous_current_a(
        book.provision("continuous_load_125_percent").value("continuous_factor").number, current_a
    )


def test_we_amp_01_nine_conductors(example, book):
    example.check(ampacity_A=corrected(book, "12", "copper_90c", count=example.inputs["count_current_carrying"]))


def test_we_amp_03_nine_motor_conductors(example, book):
    example.check(ampacity_A=corrected(book, "8", "copper_90c", count=example.inputs["count_current_carrying"]))


def test_we_amp_04_nine_conductors_in_the_heat(example, book):
    given = example.inputs
    example.check(ampacity_A=corrected(book, "8", "copper_90c", ambient_c=given["ambient_C"], count=given["count_current_carrying"]))


def test_we_amp_06_which_base_table(example, book):
    given = example.inputs
    by_equation = ampacity.ambient_correction_factor(90, given["ambient_C"], given["base_C"])
    example.check(
        factor=by_equation,
        factor_table=book.table("ambient_correction").band(given["ambient_C"], "rated_90c").number,
        factor_40C_base=ampacity.ambient_correction_factor(90, given["ambient_C"], 40),
        ampacity_A=corrected(book, "12", "copper_90c", ambient_c=given["ambient_C"]),
    )


def test_we_amp_08_equation_against_table(example, book):
    ambients, rated = example.inputs["ambients_C"], example.inputs["insulation_C"]
    table = [book.table("ambient_correction").band(t, f"rated_{rated}c").number for t in ambients]
    formula = [ampacity.ambient_correction_factor(rated, t, 30) for t in ambients]
    assert all(abs(a - b) <= 0.006 for a, b in zip(table, formula, strict=True))
    example.check(table=table, formula=formula)


def test_we_amp_11_rooftop_threshold_by_edition(example, book):
    given, rule = example.inputs, book.provision("rooftop_temperature_adder")
    effective = [
        ampacity.rooftop_ambient_c(given["ambient_C"], rule.value("added_rise_c").number)
        if height < rule.value("below_height_in").number
        else given["ambient_C"]
        for height in given["distance_above_roof_in"]
    ]
    amperes = [corrected(book, "10", "copper_90c", ambient_c=t) for t in effective]
    name = "2023" if book.edition == "2023" else "2017_2020"
    other = "2017_2020" if name == "2023" else "2023"
    example.check(**{f"effective_C_{name}": effective, f"ampacity_A_{name}": amperes})
    example.excuse("checked with the other edition's book", f"effective_C_{other}", f"ampacity_A_{other}")


def test_we_amp_12_exempt_insulation(example, book):
    given, rule = example.inputs, book.provision("rooftop_temperature_adder")
    assert given["distance_above_roof_in"] < rule.value("below_height_in").number
    adder = 0 if "XHHW-2" in rule.words("exempt_insulation") else rule.value("added_rise_c").number
    effective = ampacity.rooftop_ambient_c(given["ambient_C"], adder)
    factor = book.table("ambient_correction").band(effective, "rated_90c").number
    example.check(effective_C=effective, factor=factor, ampacity_A=corrected(book, "10", "copper_90c", ambient_c=effective))


def test_we_siz_02_where_the_paths_cross(example, book):
    bands = book.table("ambient_correction").bands[""]
    factor = book.provision("continuous_load_125_percent").value("continuous_factor").number
    governed = [band.upper for band in bands if band.cells["rated_90c"] and 1 / band.cells["rated_90c"] < factor]
    inverse = {t: 1 / book.table("ambient_correction").band(t, "rated_90c").number for t in (50, 55)}
    example.check(crossover_ambient_C=max(governed), inverse_factor_50C=inverse[50], inverse_factor_55C=inverse[55])


def test_we_siz_03_inverter_on_too_small_a_conductor(example, book):
    given = example.inputs
    output = currents.current_of_power_a(given["inverter_W"], given["volts"])
    required = continuous(book, output)
    device = next_standard_rating_a(book, required)
    limit = book.table("small_conductor_limit").at(("copper", "10"), "maximum").number
    example.check(
        output_A=output,
        required_A=required,
        minimum_ocpd_A=device,
        max_ocpd_for_conductor_A=limit,
        verdict="violated" if device > limit else "pass",
        minimum_conductor=f"{size_of(book, required, 'copper_75c')} AWG Cu at 75 C",
    )


def test_we_siz_04_two_paths_of_a_battery_cable(example, book):
    given = example.inputs
    current = energy_storage.inverter_input_current_a(given["inverter_W"], given["lowest_V"], given["efficiency"])
    required = continuous(book, current)
    factor = book.table("ambient_correction").band(given["ambient_C"], "rated_60c").number
    sufficient = [
        size.name
        for size in ALL_SIZES
        if (a := book.table("conductor_ampacity").number_at(size, "copper_60c")) and a >= required and a * factor >= current
    ]
    example.check(current_A=current, path1_A=required, path2_table_A=current / factor, size_since_2011=f"{sufficient[0]} AWG Cu (60 C)")


def test_we_ocp_01_device_of_a_module(example, book):
    current = currents.pv_source_circuit_current_a(
        book.provision("pv_circuit_current").value("irradiance_factor").number, 1, example.inputs["Isc_A"]
    )
    required = currents.required_continuous_current_a(book.provision("pv_overcurrent_rating").value("continuous_factor").number, current)
    example.check(required_A=required, ocpd_A=next_standard_rating_a(book, required))


def test_we_ocp_04_ev_supply(example, book):
    required = continuous(book, example.inputs["continuous_A"])
    device = next_standard_rating_a(book, required)
    example.check(
        required_A=required,
        ocpd_A=device,
        size_75C=f"{size_of(book, required, 'copper_75c')} AWG Cu",
        size_60C=f"{size_of(book, required, 'copper_60c')} AWG Cu",
        egc=f"{book.table('equipment_grounding_conductor').band_text(device, 'copper').text} AWG Cu",
    )


def dwelling_required(book, rating):
    rule = book.provision("dwelling_83_percent")
    assert rule.value("smallest_rating_a").number <= rating <= rule.value("largest_rating_a").number
    return ampacity.dwelling_ampacity_a(rule.value("rating_factor").number, rating)


def dwelling_example(example, book):
    required = dwelling_required(book, example.inputs["rating_A"])
    copper, aluminum = (size_of(book, required, f"{material}_75c") for material in ("copper", "aluminum"))
    row = str(example.inputs["rating_A"])
    assert book.table("dwelling_service_conductor").text_at(row, "copper").text == copper
    assert book.table("dwelling_service_conductor").text_at(row, "aluminum").text == aluminum
    example.check(required_A=required, copper=copper, aluminum=aluminum)


def test_we_svc_01_service_of_200_amperes(example, book):
    dwelling_example(example, book)


def test_we_svc_03_service_of_100_amperes(example, book):
    dwelling_example(example, book)


def test_we_svc_05_not_the_entire_load(example, book):
    rating = example.inputs["feeder_A"]
    reduced = dwelling_required(book, rating)
    example.check(
        copper=size_of(book, rating, "copper_75c"),
        aluminum=size_of(book, rating, "aluminum_75c"),
        copper_if_entire=size_of(book, reduced, "copper_75c"),
        aluminum_if_entire=size_of(book, reduced, "aluminum_75c"),
    )


def test_we_tap_01_feeder_beyond_a_source(example, book):
    given = example.inputs
    source = sources_at_125_percent_a(book.provision("feeder_with_source").value("source_factor").number, given["pv_A"])
    required = feeder_beyond_connection_a(given["feeder_ocpd_A"], source)
    example.check(required_A=required, size=f"{size_of(book, required, 'copper_75c')} kcmil Cu")


def test_we_tap_02_short_tap_with_a_source(example, book):
    given = example.inputs
    source = sources_at_125_percent_a(1.25, given["pv_A"])
    share = book.provision("feeder_tap_10_ft").value("share_factor").number
    tenth = taps.short_tap_ampacity_a(share, taps.feeder_and_source_a(given["feeder_ocpd_A"], source))
    example.check(tenth_A=tenth, size=f"{size_of(book, max(tenth, given['tap_ocpd_A']), 'copper_75c')} AWG Cu")


def test_we_tap_05_long_tap_with_a_source(example, nec_2023):
    given, book = example.inputs, nec_2023
    assert book.provision("feeder_tap_with_source").text("adds") == "device rating"
    assert given["tap_ft"] <= book.provision("feeder_tap_25_ft").value("longest_ft").number
    both = taps.feeder_and_source_a(given["feeder_ocpd_A"], given["source_ocpd_A"])
    required = taps.long_tap_ampacity_a(both, book.provision("feeder_tap_25_ft").value("share_of_count").number)
    example.check(required_A=required, size=f"{size_of(book, required, 'copper_75c')} AWG Cu")


def test_we_par_02_smallest_parallel_size(example, book):
    given = example.inputs
    smallest = book.provision("parallel_conductors").text("smallest_size")
    each = book.table("conductor_ampacity").at("3/0", "copper_75c").number
    order = [size.name for size in ALL_SIZES]
    example.check(
        minimum_parallel=f"{smallest} AWG",
        ampacity_A=ampacity.parallel_ampacity_a(given["sets"], each),
        egc_each=f"{book.table('equipment_grounding_conductor').band_text(given['ocpd_A'], 'copper').text} AWG Cu",
        verdict_parallel_2AWG="violated" if order.index("2") < order.index(smallest) else "pass",
    )


def test_we_par_03_two_sets_in_one_raceway(example, book):
    given = example.inputs
    each = corrected(book, "3/0", "copper_90c", count=given["count_current_carrying"])
    terminals = ampacity.parallel_ampacity_a(given["sets"], book.table("conductor_ampacity").at("3/0", "copper_75c").number)
    total = min(ampacity.parallel_ampacity_a(given["sets"], each), terminals)
    example.check(ampacity_A=total, max_ocpd_A=largest_protecting_rating_a(book, total))


def test_we_pvc_03_combined_multiplier(example, book):
    factors = example.inputs["factors"]
    assert factors[0] == book.provision("pv_circuit_current").value("irradiance_factor").number
    assert factors[1] == book.provision("pv_conductor_ampacity").value("continuous_factor").number
    multiplier = short_circuit_multiplier_factor(*factors)
    example.check(multiplier_pct=100 * multiplier, multiplier=multiplier)
    assert next_standard_rating_a(book, multiplier * 9.61) == 20
