"""Working space, burial and support: order and the published cells (NEC 110.26(A)(1), 300.5, raceway articles; from memory)."""

from __future__ import annotations

import pytest

from permitgen.code.errors import NotInTableError


def test_working_space_as_published(book):
    table = book.table("working_space_depth")
    for volts, depths in {120: (3, 3, 3), 150: (3, 3, 3), 151: (3, 3.5, 4), 600: (3, 3.5, 4), 601: (3, 4, 5)}.items():
        assert tuple(table.band(volts, f"condition_{number}").number for number in (1, 2, 3)) == depths
    with pytest.raises(NotInTableError):
        table.band(1001, "condition_1")


def test_stronger_wiring_lies_less_deep(book):
    table = book.table("burial_cover")
    for row in table.rows:
        cells = table.cells[row]
        assert cells["direct_burial"] >= cells["nonmetallic_raceway"] >= cells["rigid_or_intermediate_metal"], row
    assert [table.at("all not listed below", column).number for column in table.columns] == [24, 6, 18, 12, 6]
    assert table.at("under streets or alleys or parking lots", "rigid_or_intermediate_metal").number == 24


def test_streets_ask_for_the_most_cover(book):
    table = book.table("burial_cover")
    for column in table.columns:
        assert max(table.cells[row][column] for row in table.rows) == table.cells["under streets or alleys or parking lots"][column]


def test_larger_pvc_spans_more(book):
    table = book.table("raceway_support")
    for raceway in ("PVC-40", "PVC-80"):
        spans = [table.at((raceway, size), "between").number for size in table.rows_of(raceway)]
        assert spans == [3, 3, 3, 5, 5, 5, 6, 6, 7, 7]
    assert {table.at(("EMT", size), "between").number for size in table.rows_of("EMT")} == {10}


def test_support_covers_every_raceway(book):
    assert set(book.table("raceway_dimensions").groups) == set(book.table("raceway_support").groups)


def test_plastic_tubing_is_held_every_3_ft(book):
    """Within 3 ft of boxes and every 3 ft (362.30, from memory)."""
    table = book.table("raceway_support")
    assert {tuple(table.cells["ENT", size].values()) for size in table.rows_of("ENT")} == {(3.0, 3.0)}


# Table 300.5 by rows, recalled from memory: direct burial, rigid metal, nonmetallic raceway, residential 120 V circuit, low voltage.
COVER = [
    ("all not listed below", 24, 6, 18, 12, 6),
    ("in trench below 2 in of concrete", 18, 6, 12, 6, 6),
    ("under a building", 0, 0, 0, 0, 0),
    ("under at least 4 in concrete slab without vehicles extending 6 in beyond", 18, 4, 4, 6, 6),
    ("under streets or alleys or parking lots", 24, 24, 24, 24, 24),
    ("one- and two-family dwelling driveways and parking", 18, 18, 18, 12, 18),
]


def test_cover_as_recalled(book):
    table = book.table("burial_cover")
    assert [(row, *table.cells[row].values()) for row in table.rows] == COVER


def test_flexible_raceways_are_held_near_their_ends(book):
    """12 in from boxes; 4-1/2 ft apart for metal, 3 ft for nonmetallic ones (348.30, 350.30, 356.30, from memory)."""
    table = book.table("raceway_support")
    for raceway, between in (("LFMC", 4.5), ("FMC", 4.5), ("LFNC-B", 3.0)):
        assert {tuple(table.cells[raceway, size].values()) for size in table.rows_of(raceway)} == {(1.0, between)}
    for raceway in ("EMT", "RMC", "IMC", "PVC-40", "PVC-80"):
        assert {table.at((raceway, size), "from_enclosure").number for size in table.rows_of(raceway)} == {3.0}
    for raceway in ("EMT", "RMC", "IMC"):
        assert {table.at((raceway, size), "between").number for size in table.rows_of(raceway)} == {10.0}


def test_voltage_to_ground_starts_at_nothing(book):
    assert book.table("working_space_depth").band(0, "condition_1").number == 3
