"""Areas of grounding and bonding conductors."""

from __future__ import annotations

from permitgen.values.equation import equation


@equation(
    "A_EGC",
    "area of the equipment grounding conductor",
    table_area_cmil="A_table",
    installed_area_cmil="A_inst",
    needed_area_cmil="A_min",
)
def proportional_grounding_area_cmil(table_area_cmil: float, installed_area_cmil: float, needed_area_cmil: float) -> float:
    """Return the table's grounding conductor grown as the ungrounded conductor grew, cmil (250.122(B))."""
    return table_area_cmil * installed_area_cmil / needed_area_cmil


@equation("A_sets", "equivalent area of the ungrounded conductors", sets_count="n", area_cmil="A")
def parallel_area_kcmil(sets_count: float, area_cmil: float) -> float:
    """Return the area of equal parallel conductors together, kcmil (250.66, 250.102(C), areas of Chapter 9 Table 8)."""
    return sets_count * area_cmil / 1000


@equation("A_J", "area of the bonding jumper", area_factor="k", ungrounded_area_kcmil="A_sets")
def jumper_area_kcmil(area_factor: float, ungrounded_area_kcmil: float) -> float:
    """Return 12.5 % of the area of the ungrounded conductors, kcmil (250.102(C)(1), beyond the table)."""
    return area_factor * ungrounded_area_kcmil


@equation("A", "area in circular mils", area_kcmil="A")
def area_of_kcmil_cmil(area_kcmil: float) -> float:
    """Return 1000 × the area in kcmil, cmil (Chapter 9 Table 8 prints circular mils)."""
    return 1000 * area_kcmil
