"""Worked examples of grounding conductors, bonding jumpers, transformers and generators."""

from __future__ import annotations

import pytest

from permitgen.code.equations import bonding, generator, overcurrent
from permitgen.code.errors import NotInTableError
from permitgen.code.standard_sizes import conductor_area_cmil, next_standard_rating_a, smallest_size_of_ampacity, smallest_size_of_area
from permitgen.values.conductor_size import ConductorSize


def area(book, size):
    return conductor_area_cmil(book, ConductorSize(size)).number


def increased(book, given):
    table = book.table("equipment_grounding_conductor").band_text(given["ocpd_A"], "copper").text
    needed, installed = (given[name].split()[0] for name in ("original", "installed"))
    return bonding.proportional_grounding_area_cmil(area(book, table), area(book, installed), area(book, needed))


def test_we_egc_02_increased_to_the_circuit_size(example, book):
    example.check(egc=f"{smallest_size_of_area(book, increased(book, example.inputs))} Cu")


def test_we_egc_03_just_fits(example, book):
    required = increased(book, example.inputs)
    example.check(required_cmil=required, egc=f"{smallest_size_of_area(book, required)} Cu")


def test_we_egc_04_misses_by_two_circular_mils(example, book):
    """By the areas as printed; by the gauge they are equal, which the rule goes by."""
    required = increased(book, example.inputs)
    assert area(book, "8") < required < area(book, "8") + 2
    table, needed, installed, grown = (ConductorSize(name).area_cmil for name in ("10", "6", "4", "8"))
    assert bonding.proportional_grounding_area_cmil(table, installed, needed) == pytest.approx(grown, rel=1e-12)
    example.check(required_cmil=required, egc=f"{smallest_size_of_area(book, required)} Cu")


def test_we_egc_05_common_steps(example, book):
    table = book.table("equipment_grounding_conductor")
    example.check(egc_cu=[table.band_text(rating, "copper").text for rating in example.inputs["ocpd_A"]])


def jumper(book, material, total_kcmil, column="copper"):
    """Size of a jumper: by the table, beyond it 12.5 percent of the area."""
    try:
        return ConductorSize(book.table("bonding_jumper").band_text(total_kcmil, column, material).text)
    except NotInTableError:
        factor = book.provision("bonding_jumper_above_table").value("area_factor").number
        return smallest_size_of_area(book, 1000 * bonding.jumper_area_kcmil(factor, total_kcmil))


def test_we_gec_03_supply_side_jumpers(example, book):
    totals = [bonding.parallel_area_kcmil(sets, area(book, "250")) for sets in (1, 3)]
    example.check(ssbj=[f"{jumper(book, 'copper', total)} Cu" for total in totals])


def test_we_gec_04_jumper_of_two_sets(example, book):
    total = bonding.parallel_area_kcmil(2, area(book, "3/0"))
    example.check(cmil=1000 * total, ssbj_cu=str(jumper(book, "copper", total)), ssbj_al=str(jumper(book, "copper", total, "aluminum")))


def test_we_gec_05_jumper_beyond_the_table(example, book):
    total = bonding.parallel_area_kcmil(4, area(book, "500"))
    factor = book.provision("bonding_jumper_above_table").value("area_factor").number
    example.check(mbj=f"{jumper(book, 'copper', total)} Cu", mbj_cmil=1000 * bonding.jumper_area_kcmil(factor, total))


def test_we_gec_06_two_aluminum_sets(example, book):
    total = bonding.parallel_area_kcmil(2, area(book, "750"))
    example.check(
        total_cmil=1000 * total,
        mbj_cu=str(jumper(book, "aluminum", total)),
        mbj_al=str(jumper(book, "aluminum", total, "aluminum")),
    )


def test_we_gec_07_dwelling_service(example, book):
    gec, mbj = [], []
    for service in example.inputs["services"]:
        size, _, material = service.split()
        total, group = area(book, size) / 1000, {"Cu": "copper", "Al": "aluminum"}[material]
        gec.append(f"{book.table('grounding_electrode_conductor').band_text(total, 'copper', group).text} AWG Cu")
        mbj.append(f"{jumper(book, group, total)} Cu")
    example.check(gec=gec, mbj_copper=mbj)


def winding_limit(book, rated_a):
    rule = book.provision("transformer_primary_overcurrent")
    assert rated_a >= rule.value("next_size_from_a").number
    return overcurrent.transformer_overcurrent_limit_a(rule.value("rated_current_factor").number, rated_a)


def test_we_xfm_01_three_phase_primary(example, book):
    rated = overcurrent.three_phase_rated_current_a(example.inputs["kVA"], example.inputs["primary_V"])
    limit = winding_limit(book, rated)
    example.check(primary_A=rated, limit_A=limit, fuse_A=next_standard_rating_a(book, limit))


def test_we_xfm_02_single_phase_secondary(example, book):
    rated = overcurrent.single_phase_rated_current_a(example.inputs["kVA"], example.inputs["secondary_V"])
    limit = winding_limit(book, rated)
    device = next_standard_rating_a(book, limit)
    size = smallest_size_of_ampacity(book, device, "copper_75c")
    example.check(secondary_A=rated, limit_A=limit, ocpd_A=device, conductor=f"{size} Cu")


def generator_sizes(book, nameplate_a):
    rule = book.provision("generator_conductors")
    required = generator.generator_conductor_a(rule.value("nameplate_factor").number, nameplate_a)
    excepted = generator.generator_conductor_a(rule.value("overload_prevented_factor").number, nameplate_a)
    return required, *(f"{smallest_size_of_ampacity(book, current, 'copper_75c')} Cu" for current in (required, excepted))


def test_we_gen_01_sixty_kilovoltamperes(example, book):
    nameplate = overcurrent.single_phase_rated_current_a(example.inputs["kVA"], example.inputs["volts"])
    required, size, excepted = generator_sizes(book, nameplate)
    example.check(nameplate_A=nameplate, required_A=required, size=size, size_exception=excepted)


def test_we_gen_03_amperes_to_kilowatts(example):
    given = example.inputs
    example.check(kW=generator.three_phase_power_kw(given["amps"], given["volts"], given["pf"]))
    example.excuse("the formula in words", "formula")


def test_we_gen_04_home_generator(example, book):
    nameplate = generator.generator_current_a(example.inputs["kW"], example.inputs["volts"])
    required, size, _ = generator_sizes(book, nameplate)
    device = example.inputs["breaker_A"]
    assert next_standard_rating_a(book, nameplate) == device
    example.check(
        nameplate_A=nameplate,
        required_A=required,
        size=size,
        feeder_size=f"{smallest_size_of_ampacity(book, device, 'copper_75c')} Cu",
        egc=f"{book.table('equipment_grounding_conductor').band_text(device, 'copper').text} AWG Cu",
    )
