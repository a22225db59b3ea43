"""What the text says of service, grounding, panels, feeders, generators, islands, storage places and loads of a home."""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction

from tests.oracle import tables
from tests.oracle.conductors import (
    ampacity,
    electrode_conductor_size,
    exact,
    fault_path_size,
    is_at_least,
    largest_device,
    table_mils,
)
from tests.oracle.home import Device, Expected, Home, Wire, expect

VOLTS = 240


def of_service(home: Home) -> list[Expected]:
    """Service conductors and their neutral, grounding, fault current, service switch, loads."""
    found = [*service_conductors(home), *grounding(home), *loads(home)]
    if home.switch:
        of = home.switch
        rules, at = "*disconnect-rating *switch* service-*", ("SW",)
        figures = f"{of.rating:g} A, {of.voltage:g} V around {of.device.rating:g} A at 240 V"
        found.append(
            expect("service switch", of.rating >= of.device.rating and of.voltage >= VOLTS, rules, at, "110.3(B), 230.79", figures)
        )
    return found


def service_conductors(home: Home) -> Iterator[Expected]:
    """310.12(A) (2017 310.15(B)(7)): 83 percent of the service's rating, else 240.4(B); 250.24(C) (2023 (D)): the neutral as fault path.

    110.14(C) reads Table 310.16 as modified by 310.12; a line terminal of 60 °C still limits.
    """
    device = _service_device(home)
    wires = {"S1": (home.service.lateral, home.service.meter_line_c), "S2": (home.service.entrance, 75)}
    for name, (wire, celsius) in wires.items():
        carried = min(ampacity(wire, home.edition), Fraction(_at(wire, celsius)))
        by_83 = carried >= exact(tables.DWELLING_FACTOR) * exact(device.rating) and 100 <= device.rating <= 400
        holds = by_83 or device.rating <= largest_device(carried, wire.size, wire.material)
        figures = f"{device.rating:g} A on {wire.size} of {float(carried):g} A"
        circumstance = "60 °C meter terminal" if celsius == 60 else ""
        rules, section = "conductor-protection", "310.12, 230.90"
        several = "several services' disconnects: the sum of their devices may stand instead (230.90 Ex. 3)" if home.supply_side else ""
        several = "" if holds else several
        made = expect("service conductor", holds, rules, (name,), section, figures, circumstance=circumstance, unsure=several)
        yield made
        if wire.neutral:
            wanted = fault_path_size(wire)
            figures = f"neutral {wire.neutral}, {wanted} by {wire.size} {wire.material}"
            yield expect("service neutral", is_at_least(wire.neutral, wanted), "service-neutral-size", (name,), "250.24(D)", figures)


def _at(wire: Wire, celsius: int) -> int:
    return tables.AMPACITY[wire.material][wire.size][{60: 0, 75: 1, 90: 2}[celsius]]


def _service_device(home: Home) -> Device:
    if home.island:
        return home.island.main
    if home.switch:
        return home.switch.device
    if home.panel.main is None:
        raise ValueError("a service needs a device")
    return home.panel.main


def grounding(home: Home) -> Iterator[Expected]:
    """Table 250.66 with its caps; 250.28(D), Table 250.102(C)(1) for a jumper that does not come with listed equipment."""
    service = home.service
    largest = max((service.lateral, service.entrance), key=lambda wire: table_mils(wire.size))
    wanted = electrode_conductor_size(largest, service.electrodes)
    holds = is_at_least(service.electrode_conductor, wanted)
    numbers = (("", float(table_mils(service.electrode_conductor)), float(table_mils(wanted))),)
    figures = f"{service.electrode_conductor} AWG, {wanted} AWG by {largest.size} {largest.material}"
    rule, at = "grounding-electrode-conductor-size", ("GES",)
    yield expect("electrode conductor", holds, rule, at, "250.66", figures, numbers=numbers)
    if service.bonding_jumper:
        wanted = next(row[2] for row in tables.ELECTRODE_CONDUCTOR if table_mils(largest.size) <= _row_limit(row, largest.material))
        figures = f"{service.bonding_jumper} AWG, {wanted} AWG by {largest.size} {largest.material}"
        holds = is_at_least(service.bonding_jumper, wanted)
        yield expect("main bonding jumper", holds, "main-bonding-jumper", at, "250.28(D)", figures)


def _row_limit(row: tuple[str, str, str, str], material: str) -> int:
    name = row[0] if material == "copper" else row[1]
    return int(name) * 1000 if name.isdigit() and int(name) >= 250 else table_mils(name)


def fault_bounds_ka(home: Home) -> tuple[float, float]:
    """Fault current behind the service conductors: point to point and hot, and the most that a reactive source gives when cold.

    Scalar: f = 2 L I / (n C E), M = 1/(1 + f), C = 1000/|Z| of Chapter 9 Table 9. Complex: source all reactance, resistance at 25 °C
    (0.8385 of Table 9's for copper, 0.835 for aluminum).
    """
    amperes = home.service.fault_ka * 1000
    source, drop, resistance, reactance = VOLTS / amperes, 0.0, 0.0, 0.0
    for wire in (home.service.lateral, home.service.entrance):
        row = tables.IMPEDANCE[wire.size]
        is_steel = wire.run.kind in {"EMT", "RMC", "IMC"}
        r = float((row[3] if is_steel else row[2]) if wire.material == "copper" else (row[5] if is_steel else row[4]) or 0)
        x = row[1] if is_steel else row[0]
        length = wire.run.length_ft / 1000
        drop += 2 * length * math.hypot(r, x)
        resistance += 2 * length * r * (0.8385 if wire.material == "copper" else 0.835)
        reactance += 2 * length * x
    return VOLTS / (source + drop) / 1000, VOLTS / math.hypot(resistance, source + reactance) / 1000


def standard_load_va(home: Home) -> Fraction:
    """Article 220 Part III: 3 VA/ft², two small-appliance and a laundry circuit, 3000 at 100 and the rest at 35 percent (Table 220.45);

    four or more fixed appliances at 75 percent (220.53); dryer 5000 VA at least (220.54); one range by Table 220.55.
    """
    lighting = exact(home.floor_area_ft2) * 3 + 3000 + 1500
    total = min(lighting, Fraction(3000)) + max(lighting - 3000, Fraction(0)) * Fraction(35, 100)
    fixed = [exact(load.va) for load in home.loads if load.category in {"fixed appliance", "water heater"}]
    total += sum(fixed, Fraction(0)) * (Fraction(3, 4) if len(fixed) >= 4 else 1)
    total += sum((max(exact(load.va), Fraction(5000)) for load in home.loads if load.category == "dryer"), Fraction(0))
    return total + sum((_range_va(exact(load.va)) for load in home.loads if load.category == "cooking"), Fraction(0))


def _range_va(va: Fraction) -> Fraction:
    """Table 220.55: one range of at most 12 kW takes 8000 VA (column C) or, from 3.5 to 8.75 kW, 80 percent (column B, note 3)."""
    by_column_b = va * Fraction(4, 5) if Fraction(3500) <= va <= Fraction(8750) else va
    return min(by_column_b, Fraction(8000))


def optional_load_va(home: Home) -> Fraction:
    """220.82: 10 kVA at 100 and the rest at 40 percent of general load and appliances at their nameplates; no heating or cooling here."""
    general = exact(home.floor_area_ft2) * 3 + 3000 + 1500
    general += sum((exact(load.va) for load in home.loads if load.category not in {"general", "heat pump"}), Fraction(0))
    return min(general, Fraction(10_000)) + max(general - 10_000, Fraction(0)) * Fraction(40, 100)


def loads(home: Home) -> Iterator[Expected]:
    """Any one method: standard, 220.82, or 220.87 (125 percent of a year's peak) for an existing dwelling without sources in the data."""
    if not home.loads or home.standby or home.feeders:
        return
    capacity = min(
        exact(_service_device(home).rating), *(ampacity(wire, home.edition) for wire in (home.service.lateral, home.service.entrance))
    )
    standard, optional = standard_load_va(home) / VOLTS, optional_load_va(home) / VOLTS
    ways = [standard, optional]
    peak = home.service.measured_peak_a
    numbers: tuple[tuple[str, float | None, float | None], ...] = (("standard method", float(standard), None),)
    if not home.existing:
        numbers += (("optional method", float(optional), None),)
    if peak is not None and home.existing:
        ways.append(exact(peak) * Fraction(5, 4))
        numbers += (("measured demand", float(exact(peak) * Fraction(5, 4)), None),)
    figures = f"{float(min(ways)):.1f} A of {float(capacity):g} A"
    doubt = "220.83, and which method an existing dwelling may use" if home.existing and standard > capacity else ""
    charging = "batteries that charge from the utility are loads" if any(source.kind == "battery" for source in home.all_sources) else ""
    if charging:
        numbers = ()
    rule, at = "service-capacity", ("UTIL",)
    yield expect("service load", min(ways) <= capacity, rule, at, "Article 220", figures, numbers=numbers, unsure=doubt or charging)
