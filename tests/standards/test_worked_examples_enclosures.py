"""Worked examples of raceway fill, boxes, pull boxes, bending space, burial and working space."""

from __future__ import annotations

from permitgen.code.equations import box_fill, pull_box, raceway_fill
from permitgen.code.rounding import count_by_note_7, whole_count


def permitted(book, raceway, trade_size, conductors):
    percent = book.table("conduit_fill").band(conductors, "fill").number
    return raceway_fill.permitted_fill_in2(percent, book.table("raceway_dimensions").at((raceway, trade_size), "total_area").number)


def smallest_raceway(book, raceway, area_in2, conductors):
    sizes = book.table("raceway_dimensions").rows_of(raceway)
    return next(size for size in sizes if permitted(book, raceway, size, conductors) >= area_in2)


def fill_example(example, book):
    area, count = 0.0, 0
    for conductor, number in example.inputs["conductors"]:
        size, _, insulation = conductor.split()
        group = book.table("insulation_dimension_group").text_at(insulation, "dimensions_of").text
        each = book.table("conductor_dimensions").at((group, size), "area").number
        area += raceway_fill.conductor_group_area_in2(number, each)
        count += number
    example.check(area_in2=area, trade_size=smallest_raceway(book, example.inputs["raceway"], area, count))


def test_we_fil_01_mixed_sizes_in_rigid_metal_conduit(example, book):
    fill_example(example, book)


def test_we_fil_02_three_in_tubing(example, book):
    fill_example(example, book)


def test_we_fil_03_annex_c_counts(example, book):
    dimensions, counts = book.table("conductor_dimensions"), {}
    for key, trade_size in (("three_quarter", "3/4"), ("one", "1")):
        room = permitted(book, example.inputs["raceway"], trade_size, 3)
        each = [dimensions.at(("THHN", size), "area").number for size in example.inputs["sizes"]]
        counts[key] = [count_by_note_7(raceway_fill.conductors_that_fit_count(room, area)) for area in each]
    example.check(**counts)


def allowance(book, size):
    return book.table("box_fill_allowance").at(size, "volume").number


def test_we_box_02_conductors_in_a_round_box(example, book):
    volume = book.table("metal_box_volume").at(("round/octagonal", "4 x 1-1/2"), "volume").number
    assert volume == example.inputs["volume_in3"]
    example.check(max_conductors=whole_count(box_fill.conductors_in_box_count(volume, allowance(book, "14"))))


def box_example(example, book):
    rule, given = book.provision("box_fill"), example.inputs
    (conductor, count), *_ = given["conductors"]
    grounding = rule.value("grounding_count").number
    if rule.has("further_grounding_factor"):
        grounding = box_fill.grounding_allowance_count(
            grounding, given["grounds"], rule.value("grounding_included_count").number, rule.value("further_grounding_factor").number
        )
    allowances = box_fill.box_allowance_count(count, given["devices"], rule.value("device_count").number, 0) + grounding
    example.check(required_in3=box_fill.allowance_volume_in3(allowances, allowance(book, conductor.split()[0])))


def test_we_box_03_device_and_grounds(example, book):
    box_example(example, book)


def test_we_box_04_four_cables_and_a_receptacle(example, book):
    box_example(example, book)


def straight(book, raceways_in):
    return pull_box.straight_pull_in(book.provision("pull_box_straight").value("raceway_factor").number, max(raceways_in))


def angle(book, raceways_in):
    largest = max(raceways_in)
    return pull_box.angle_pull_in(book.provision("pull_box_angle").value("raceway_factor").number, largest, sum(raceways_in) - largest)


def apart(book, raceway_in):
    return pull_box.entry_spacing_in(book.provision("pull_box_angle").value("entry_spacing_factor").number, raceway_in)


def test_we_pul_01_straight_pull(example, book):
    example.check(length_in=straight(book, example.inputs["raceways_in"]))


def side_example(example, book):
    side = angle(book, example.inputs["raceways_in"])
    example.check(side_in=side)


def test_we_pul_03_angle_pull(example, book):
    side_example(example, book)


def test_we_pul_04_angle_pull_of_three(example, book):
    side_example(example, book)


def test_we_pul_05_u_pull(example, book):
    raceways = example.inputs["raceways_in"]
    example.check(opposite_wall_in=angle(book, raceways), between_entries_in=apart(book, max(raceways)))


def test_we_pul_07_angle_and_straight(example, book):
    given = example.inputs
    example.check(
        angle_in=angle(book, given["angle_in"]),
        straight_in=straight(book, given["straight_in"]),
        entries_apart_in=apart(book, max(given["angle_in"])),
    )


def test_we_ben_02_bending_not_opposite(example, book):
    example.check(space_in=book.table("wire_bending_other_walls").at("3/0", "one_wire").number)


def test_we_ben_03_bending_opposite(example, book):
    space = book.table("wire_bending_opposite_wall").at("350", "one_wire").number
    assert book.table("wire_bending_reduction").at("350", "one_wire").number == 3
    example.check(space_in=space)


def test_we_ben_04_home_sizes(example, book):
    sizes = example.inputs["sizes"]
    example.check(
        table_A_in=[book.table("wire_bending_other_walls").at(size, "one_wire").number for size in sizes],
        table_B_in=[book.table("wire_bending_opposite_wall").at(size, "one_wire").number for size in sizes],
    )


def test_we_bur_02_trench_of_22_inches(example, book):
    columns = {"USE-2 direct-buried": "direct_burial", "PVC": "nonmetallic_raceway", "RMC": "rigid_or_intermediate_metal"}
    depth = example.inputs["depth_to_top_in"]
    covers = [book.table("burial_cover").at("all not listed below", columns[case]).number for case in example.inputs["cases"]]
    example.check(verdicts=["pass" if depth >= cover else "violated" for cover in covers])


def test_we_wrk_02_working_space_of_a_dc_combiner(example, book):
    table, volts = book.table("working_space_depth"), example.inputs["volts_to_ground"]
    example.check(depth_ft=[table.band(volts, f"condition_{condition}").number for condition in example.inputs["conditions"]])
