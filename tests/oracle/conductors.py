"""Conductors from the text: ampacity, protection, grounding conductors, fill, voltage rise. Amperes, inches, circular mils.

All comparisons are exact: figures are fractions of their printed decimals.
"""

from __future__ import annotations

import math
from fractions import Fraction

from tests.oracle import tables
from tests.oracle.home import DESIGN_HIGH_C, Run, Wire


def exact(number: float) -> Fraction:
    """The number as it is written, not as it is stored."""
    return Fraction(str(number))


def insulation_rating_c(wire: Wire) -> int:
    """Table 310.4(1) by place; 300.5(B) and 300.9: the inside of a raceway underground or outdoors above grade is a wet place."""
    dry, wet = tables.INSULATION[wire.insulation]
    return wet if wire.run.is_wet else dry


def ambient_c(run: Run, insulation: str, edition: int) -> float:
    """310.15(B)(2), 2017 310.15(B)(3)(c): 33 K more where a raceway in the sun lies nearer to the roof than the distance.

    In the open air never less than the design temperature of the site (sections from memory). The text names none (an informational note
    points to ASHRAE's climate data), but 310.14(A)(3) (2017: 310.15(A)(3)) lets no conductor become hotter than its insulation bears,
    its note counts with an ambient that varies along the run and with time, and the adder goes on top of "the outdoor temperature": the
    highest to be reckoned with is due. A run outdoors cannot be cooler than the outdoor air, and shade does not help: a dry-bulb
    temperature is one in the shade. So a lower figure contradicts the site's own; the stricter of the two holds. A higher one (a hot
    wall) stands. Rooms and attics may be cooled, and the earth is not the air: there the stated figure stands.
    """
    outdoor = max(run.ambient_c, DESIGN_HIGH_C) if run.is_in_open_air else run.ambient_c
    near = run.above_roof_in is not None and exact(run.above_roof_in) < exact(tables.ROOF_DISTANCE[edition])
    return outdoor + (tables.ROOF_ADDER if near and insulation != "XHHW-2" else 0.0)


def ambient_factor(ambient: float, rating_c: int) -> Fraction:
    """Table 310.15(B)(1)(1); the temperature is rounded up to a whole degree. Zero where the table has a dash (no ampacity left)."""
    column = {60: 1, 75: 2, 90: 3}[rating_c]
    for row in tables.AMBIENT:
        if math.ceil(ambient) <= row[0]:
            return exact(row[column] or 0)
    return Fraction(0)


def count_factor(count: int, length_ft: float) -> Fraction:
    """Table 310.15(C)(1); 310.15(C)(1)(b): none in a nipple of at most 24 in."""
    if exact(length_ft) * 12 <= 24:
        return Fraction(1)
    return exact(next(factor for most, factor in tables.ADJUSTMENT if count <= most))


def corrected_ampacity(wire: Wire, edition: int, current_carrying: int = 2, size: str | None = None) -> Fraction:
    """310.15: table ampacity in the column of the insulation, times ambient and count factor. The neutral of a 3-wire circuit

    does not count (310.15(E)), nor does the grounding conductor (310.15(F)).
    """
    rating = insulation_rating_c(wire)
    if rating == 0:
        return Fraction(0)
    table = tables.AMPACITY[wire.material][size or wire.size][{60: 0, 75: 1, 90: 2}[rating]]
    ambient = ambient_c(wire.run, wire.insulation, edition)
    return table * ambient_factor(ambient, rating) * count_factor(current_carrying + wire.run.others, wire.run.length_ft)


def terminal_ampacity(wire: Wire, size: str | None = None) -> Fraction:
    """110.14(C)(1): the column of the terminals, without factors."""
    return Fraction(tables.AMPACITY[wire.material][size or wire.size][{60: 0, 75: 1, 90: 2}[wire.terminal_c]])


def ampacity(wire: Wire, edition: int, current_carrying: int = 2, size: str | None = None) -> Fraction:
    """310.14(A)(2), 110.14(C): the lower of both."""
    return min(corrected_ampacity(wire, edition, current_carrying, size), terminal_ampacity(wire, size))


def largest_device(carries: Fraction, size: str, material: str) -> int:
    """240.4(B): the next standard rating where the ampacity is none; 240.4(D): at most 15, 20, 30 A on small conductors."""
    device = next((rating for rating in tables.STANDARD_DEVICES if rating >= carries), int(carries))
    return min(device, tables.SMALL_CONDUCTOR.get((size, material), device))


def next_standard(amperes: Fraction) -> int:
    """240.6(A): the smallest standard rating that is not smaller."""
    return next(rating for rating in tables.STANDARD_DEVICES if rating >= amperes)


def carries_source(wire: Wire, current: Fraction, edition: int, current_carrying: int = 2) -> bool:
    """690.8(B), 705.28(B) (2017: 705.60(B)): 125 percent at the terminals without factors, and 100 percent after factors."""
    return terminal_ampacity(wire) >= current * Fraction(5, 4) and corrected_ampacity(wire, edition, current_carrying) >= current


def exact_circular_mils(size: str) -> float:
    """ASTM B258: the diameter of gauge n is 0.005 in x 92^((36 - n)/39); kcmil as named. Table 8 prints it rounded."""
    if size.isdigit() and int(size) >= 250:
        return int(size) * 1000.0
    gauge = 1 - int(size.split("/", maxsplit=1)[0]) if "/" in size else int(size)
    return 25.0 * 92.0 ** ((36 - gauge) / 19.5)


def table_mils(size: str) -> int:
    """Chapter 9 Table 8."""
    return int(tables.PROPERTIES[size][0])


def grounding_size(device: float, material: str = "copper") -> str:
    """Table 250.122: the row whose device is not exceeded."""
    row = next(row for row in tables.EQUIPMENT_GROUND if device <= row[0])
    return row[1] if material == "copper" else row[2]


def smallest_size(wire: Wire, device: float, edition: int, need: Fraction = Fraction(0), need_125: Fraction = Fraction(0)) -> str:
    """The smallest size that carries ``need`` after factors, ``need_125`` at the terminals and is protected by the device (240.4)."""
    for size in tables.AMPACITY[wire.material]:
        carries = ampacity(wire, edition, size=size)
        if carries == 0 or corrected_ampacity(wire, edition, size=size) < need or terminal_ampacity(wire, size) < need_125:
            continue
        if device <= largest_device(carries, size, wire.material):
            return size
    raise ValueError(f"no size of {wire.material} for {device} A")


def increased_grounding_size(wire: Wire, device: float, edition: int, need: Fraction = Fraction(0)) -> str:
    """250.122(B): where the ungrounded conductors are larger than needed, the grounding conductor grows by the same ratio of areas.

    Areas are those of the gauge itself, not Table 8's rounded ones; 250.122(A): never larger than the ungrounded conductors.
    """
    base = smallest_size(wire, device, edition, need)
    table = grounding_size(device)
    wanted = exact_circular_mils(table) * max(1.0, exact_circular_mils(wire.size) / exact_circular_mils(base))
    wanted = min(wanted, exact_circular_mils(wire.size))
    return next(size for size in tables.SIZES if exact_circular_mils(size) >= wanted * (1 - 1e-9))


def is_at_least(size: str, wanted: str) -> bool:
    """Compare sizes by area."""
    return table_mils(size) >= table_mils(wanted)


def fault_path_size(wire: Wire) -> str:
    """Table 250.102(C)(1) by the ungrounded conductor (250.24(C)(1), 2023 250.24(D)(1)): neutral and bonding jumper, same material."""
    for copper, aluminum, jumper_copper, jumper_aluminum in tables.ELECTRODE_CONDUCTOR:
        if table_mils(wire.size) <= _mils(copper if wire.material == "copper" else aluminum):
            return jumper_copper if wire.material == "copper" else jumper_aluminum
    raise ValueError(f"{wire.size} is above the table")


def electrode_conductor_size(wire: Wire, electrodes: tuple[str, ...]) -> str:
    """Table 250.66 by the largest service conductor, copper; (A) and (B): 6 AWG for rods, 4 AWG for concrete-encased alone."""
    size = tables.ELECTRODE_CONDUCTOR_ABOVE[0]
    for copper, aluminum, conductor, _ in tables.ELECTRODE_CONDUCTOR:
        if table_mils(wire.size) <= _mils(copper if wire.material == "copper" else aluminum):
            size = conductor
            break
    if all(electrode in tables.ELECTRODE_CAP for electrode in electrodes):
        cap = max((tables.ELECTRODE_CAP[electrode] for electrode in electrodes), key=table_mils)
        return min(size, cap, key=table_mils)
    return size


def _mils(size: str) -> float:
    return float(int(size) * 1000) if size.isdigit() and int(size) >= 250 else float(table_mils(size))


def fill_area(wire: Wire) -> Fraction:
    """Chapter 9 Note 3 and Table 5: the areas of all conductors, grounding conductor included, as one insulation, in²."""
    areas = tables.INSULATED_AREA[tables.DIMENSION_GROUP[wire.insulation]]
    sizes = [wire.size, wire.size, *(size for size in (wire.neutral, wire.ground) if size)]
    return sum((exact(areas[size]) for size in sizes), Fraction(0))


def fill_limit(wire: Wire) -> Fraction:
    """Chapter 9 Table 1 of Table 4's area; Note 4: 60 percent in nipples of at most 24 in."""
    count = 2 + sum(1 for size in (wire.neutral, wire.ground) if size)
    share = tables.FILL.get(count, tables.FILL_OVER_TWO)
    if exact(wire.run.length_ft) * 12 <= exact(tables.NIPPLE_IN):
        share = tables.FILL_NIPPLE
    return exact(tables.CONDUIT_AREA[wire.run.kind][wire.run.trade_size]) * exact(share)


def voltage_rise_percent(wire: Wire, current: Fraction) -> Fraction:
    """210.19 note: 2 x length x current x R of Chapter 9 Table 9 at unity power factor, over 240 V."""
    row = tables.IMPEDANCE[wire.size]
    is_steel = wire.run.kind in {"EMT", "RMC", "IMC"}
    resistance = row[(3 if is_steel else 2) if wire.material == "copper" else (5 if is_steel else 4)]
    return 2 * exact(wire.run.length_ft) * current * exact(resistance or 0) / 1000 / 240 * 100
