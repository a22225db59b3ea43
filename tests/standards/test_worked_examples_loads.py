"""Worked examples of load calculations; sources stand in worked_examples.yaml beside each example."""

from __future__ import annotations

from permitgen.code.equations import loads
from permitgen.code.equations.currents import current_of_power_a, required_continuous_current_a
from permitgen.code.standard_sizes import next_standard_rating_a
from permitgen.values.equation import sum_of
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value


def number(provision, field):
    return provision.value(field).number


def lighting(book, area_ft2):
    return loads.general_lighting_va(number(book.provision("general_lighting_load"), "density_va_per_ft2"), area_ft2)


def circuits(book, inputs):
    small, laundry = book.provision("small_appliance_load"), book.provision("laundry_load")
    return loads.circuits_load_va(inputs["small_appliance_circuits"], number(small, "circuit_va")) + loads.circuits_load_va(
        inputs["laundry_circuits"], number(laundry, "circuit_va")
    )


def lighting_demand(book, load_va):
    tiers = book.provision("lighting_demand")
    names = ("first_tier_va", "second_tier_va", "first_factor", "second_factor", "third_factor")
    return loads.lighting_demand_va(load_va, **{name: number(tiers, name) for name in names})


def range_va(book, count=1):
    return 1000 * book.table("household_range_demand").band(count, "not_over_12_kw").number


def general_demand(book, load_va):
    optional = book.provision("optional_dwelling_load")
    return loads.two_tier_demand_va(load_va, number(optional, "first_tier_va"), number(optional, "remainder_factor"))


def amperes(load_va, volts=240):
    return current_of_power_a(load_va, volts)


def least_service(book):
    return number(book.provision("service_minimum_rating"), "one_family_a")


def test_we_dls_01_standard_method(example, book):
    given = example.inputs
    neutral = book.provision("neutral_load")
    light = lighting(book, given["floor_area_ft2"])
    demand = lighting_demand(book, light + circuits(book, given))
    dryer = loads.load_at_least_va(given["dryer_kw"] * 1000, number(book.provision("dryer_load"), "smallest_va"))
    net = demand + range_va(book) + dryer
    neutral_a = loads.neutral_load_a(demand, number(neutral, "range_and_dryer_factor"), range_va(book) + dryer, 240, 0, 120)
    example.check(
        lighting_circuits_A=amperes(light, 120),
        net_load_VA=net,
        load_A=amperes(net),
        neutral_VA=neutral_a * 240,
        neutral_A=neutral_a,
        minimum_service_A=least_service(book),
    )


def test_we_dls_02_loads_line_by_line(example, book):
    given, start, motor = example.inputs, example.inputs["from_D1a"], example.inputs["largest_motor_25pct"]

    def total(*currents):
        values = [Value(float(current), "a", FromSystem("worked example")) for current in currents]
        return sum_of(values, symbol="I", title="load of a line").number

    line_a = total(start["line_A"], given["ac_230V_A"], given["ac_115V_A"], motor["A"])
    line_b = total(start["line_A"], given["ac_230V_A"], given["dishwasher_120V_A"], given["disposer_115V_A"], motor["B"])
    neutral = total(start["neutral_A"], given["ac_115V_A"], given["disposer_115V_A"], motor["neutral"])
    example.check(line_A=line_a, line_B=line_b, neutral=neutral, service_A=next_standard_rating_a(book, max(line_a, line_b)))


def test_we_dlo_01_optional_method_heating(example, book):
    given, optional = example.inputs, book.provision("optional_dwelling_load")
    appliances = sum(given[name] for name in ("range_kw", "water_heater_kw", "dishwasher_kw", "dryer_kw")) * 1000
    light = lighting(book, given["floor_area_ft2"]) + circuits(book, given)
    assert given["space_heat_units"] >= number(optional, "many_heaters_count")
    heat = loads.demand_at_factor_va(number(optional, "many_heaters_factor"), given["space_heat_kw"] * 1000)
    assert heat > loads.units_power_va(given["room_ac_A"], given["room_ac_V"], 1) * number(optional, "air_conditioning_factor")
    total = general_demand(book, light + appliances) + heat
    reduced = range_va(book) + given["dryer_kw"] * 1000
    # This example spreads the dishwasher over both legs; D1(b) counts such loads on their leg, as 220.61(A) says.
    neutral = loads.neutral_load_a(lighting_demand(book, light) + given["dishwasher_kw"] * 1000, 0.7, reduced, 240, 0, 120)
    example.check(
        general_VA=light + appliances,
        general_demand_VA=general_demand(book, light + appliances),
        heat_VA=heat,
        total_VA=total,
        load_A=amperes(total),
        minimum_service_A=least_service(book),
        neutral_VA=neutral * 240,
        neutral_A=neutral,
    )


def test_we_dlo_02_optional_method_cooling(example, book):
    given, optional, cooler = example.inputs, book.provision("optional_dwelling_load"), example.inputs["room_ac"]
    kilowatts = sum(given["ovens_kw"]) + sum(given[name] for name in ("cooktop_kw", "water_heater_kw", "dishwasher_kw", "washer_dryer_kw"))
    general = lighting(book, given["floor_area_ft2"]) + circuits(book, given) + kilowatts * 1000
    cooling = loads.units_power_va(cooler["A"], cooler["V_used"], cooler["count"]) * number(optional, "air_conditioning_factor")
    assert cooling > loads.demand_at_factor_va(number(optional, "few_heaters_factor"), given["bath_heater_kw"] * 1000)
    total = general_demand(book, general) + cooling
    example.check(general_VA=general, general_demand_VA=general_demand(book, general), ac_VA=cooling, total_VA=total, load_A=amperes(total))


def test_we_dlo_03_optional_method_heat_pump(example, book):
    given, optional = example.inputs, book.provision("optional_dwelling_load")
    kilowatts = sum(given[name] for name in ("range_kw", "water_heater_kw", "dishwasher_kw", "dryer_kw"))
    general = lighting(book, given["floor_area_ft2"]) + circuits(book, given) + kilowatts * 1000
    compressor = loads.units_power_va(given["heat_pump_A"], given["volts"], 1)
    heat = loads.heat_pump_demand_va(compressor, number(optional, "supplemental_heat_factor"), given["backup_heat_kw"] * 1000)
    total = general_demand(book, general) + heat
    example.check(
        general_VA=general,
        general_demand_VA=general_demand(book, general),
        heat_VA=heat,
        total_VA=total,
        load_A=amperes(total),
        service_A=next_standard_rating_a(book, amperes(total)),
    )


def measured(book, given, new_load_a):
    peak = loads.current_of_kilowatts_a(given["max_demand_kw_15min_12_months"], given["volts"])
    factor = number(book.provision("measured_existing_load"), "peak_factor")
    return peak, factor * peak, loads.measured_load_a(factor, peak, new_load_a)


def test_we_dle_01_measured_demand_passes(example, book):
    given = example.inputs
    peak, raised, total = measured(book, given, given["new_load_A"])
    strict = measured(book, given, required_continuous_current_a(1.25, given["new_load_A"]))[2]
    verdict = "pass" if max(total, strict) <= given["service_A"] else "violated"
    example.check(existing_A=peak, existing_125pct_A=raised, total_A=total, total_with_125pct_new_A=strict, verdict=verdict)


def test_we_dle_02_measured_demand_fails(example, book):
    given = example.inputs
    peak, raised, total = measured(book, given, given["new_load_A"])
    verdict = "pass" if total <= given["service_A"] else "violated"
    example.check(existing_A=peak, existing_125pct_A=raised, total_A=total, verdict=verdict)


def test_we_con_02_receptacle_demand(example, book):
    receptacles = book.provision("receptacle_demand")
    load = loads.circuits_load_va(example.inputs["receptacles"], number(receptacles, "outlet_va"))
    demand = loads.two_tier_demand_va(load, number(receptacles, "first_tier_va"), number(receptacles, "remainder_factor"))
    example.check(load_VA=load, demand_VA=demand)
