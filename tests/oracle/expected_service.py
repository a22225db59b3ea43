"""What the text says of service, grounding, panels, feeders, generators, islands, storage places and loads of a home."""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction

from tests.oracle import tables
from tests.oracle.conductors import (
    ampacity,
    carries_source,
    electrode_conductor_size,
    exact,
    fault_path_size,
    fill_area,
    fill_limit,
    grounding_size,
    increased_grounding_size,
    insulation_rating_c,
    is_at_least,
    largest_device,
    table_mils,
    terminal_ampacity,
    voltage_rise_percent,
)
from tests.oracle.expected_sources import current, primary_device
from tests.oracle.home import Device, Expected, Home, Panel, Source, Wire, expect
from tests.oracle.write_project import circuit_name

VOLTS = 240
LEAST_AMPERES_IN_FAULT = 0.98


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


def of_panels(home: Home) -> list[Expected]:
    """Panelboards, feeders, standby circuits, islands, storage places, fill and rise of every circuit told."""
    found: list[Expected] = []
    for panel in _panels(home):
        found += panelboard(home, panel)
    for feeder in home.feeders:
        found += feeder_circuit(home, feeder.name, feeder.wire, feeder.device)
        if feeder.electrode_conductor:
            wanted = electrode_conductor_size(feeder.wire, ("water pipe", "ground rod"))
            holds = is_at_least(feeder.electrode_conductor, wanted)
            rules, at = "outside-grounding grounding-electrode-conductor-size", (f"GES{feeder.name}", feeder.panel.name, feeder.name)
            figures = f"{feeder.electrode_conductor} AWG, {wanted} AWG by {feeder.wire.size} AWG"
            found.append(expect("second building's electrode conductor", holds, rules, at, "250.32(E), 250.66", figures))
    found += [*standby(home), *inlet(home), *island(home), *storage(home), *raceways(home), *poles(home)]
    return found


def _panels(home: Home) -> list[Panel]:
    own = [home.island.panel] if home.island else [home.panel]
    return [*own, *(feeder.panel for feeder in home.feeders), *(each.feeder.panel for each in home.standby)]


def service_conductors(home: Home) -> Iterator[Expected]:
    """310.12(A) (2017 310.15(B)(7)): 83 percent of the service's rating, else 240.4(B); 250.24(C) (2023 (D)): the neutral as fault path.

    2.1 of the tables' reading: 110.14(C) reads Table 310.16 as modified by 310.12; a line terminal of 60 °C still limits.
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
    """Fault current behind the service conductors: point to point with hot conductors, and the most that a reactive source gives with cold ones.

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


def panelboard(home: Home, panel: Panel) -> Iterator[Expected]:
    """408.36: the smallest device in the path within the rating; 110.9, 110.10 at the service panel; 110.26(A); 404.8(A)."""
    devices = [primary_device(home, panel)] if panel is not (home.island and home.island.panel) else []
    if home.island and panel is home.island.panel:
        ahead = [home.island.main, panel.main, home.island.load_device]
        devices = [min(exact(each.rating) for each in ahead if each)]
    devices += [exact(each.generator.device.rating) for each in home.standby if each.feeder.panel is panel and panel.main is None]
    figures = f"{float(max(devices)):g} A on a busbar of {panel.busbar:g} A"
    behind = "behind a smaller feeder device" if panel.main and max(devices) < exact(panel.main.rating) else ""
    holds = max(devices) <= exact(panel.busbar)
    yield expect("panelboard protection", holds, "panelboard-protection", (panel.name,), "408.36", figures, circumstance=behind)
    high = panel.grip_in > tables.GRIP_IN
    rules, figures = "overcurrent-accessible handle-height", f"grip at {panel.grip_in:g} in"
    yield expect("height of the grip", not high, rules, (panel.name,), "240.24(A), 404.8(A)", figures)
    room = panel.clear_depth_in >= tables.WORKING_DEPTH_IN and panel.clear_width_in >= tables.WORKING_WIDTH_IN
    figures = f"{panel.clear_depth_in:g} in deep, {panel.clear_width_in:g} in wide"
    yield expect("working space", room, "working-space", (panel.name,), "110.26(A)", figures)
    if panel is home.panel and not home.switch and panel.main:
        low, high_ka = fault_bounds_ka(home)
        extra = sum(float(current(source)) for source in home.all_sources) * 1.6 / 1000
        rating = panel.main.interrupting_ka
        doubt = "between both ways of reckoning" if low * LEAST_AMPERES_IN_FAULT <= rating < (high_ka + extra) * 1.01 else ""
        figures = f"{rating:g} kA for {low:.2f} to {high_ka + extra:.2f} kA"
        at = (f"{panel.name}.main",)
        yield expect("interrupting rating", rating >= high_ka, "interrupting-rating", at, "110.9", figures, unsure=doubt)


def feeder_circuit(home: Home, name: str, wire: Wire, device: Device, grounds: float = 0) -> Iterator[Expected]:
    """240.4 for the conductors, 250.122(A), (B) for the grounding conductor, 215.2(A)(2) (2023 215.2(B)) for the neutral.

    ``grounds``: the largest device that can feed a ground fault on the circuit, where it is not the circuit's own.
    """
    carried = ampacity(wire, home.edition)
    figures = f"{device.rating:g} A on {float(carried):g} A of {wire.size} AWG"
    holds = device.rating <= largest_device(carried, wire.size, wire.material)
    yield expect("feeder conductor protection", holds, "conductor-protection", (name,), "240.4(B), (D)", figures)
    rating = max(grounds, device.rating)
    wanted = grounding_size(rating)
    circumstance = "behind a transfer switch" if grounds > device.rating else ""
    if wire.ground:
        wanted = min(wanted, wire.size, key=table_mils)
        figures = f"{wire.ground} AWG on {rating:g} A: {wanted} AWG"
        at, rule = (name,), "equipment-grounding-conductor-size"
        holds = is_at_least(wire.ground, wanted)
        yield expect("equipment ground", holds, rule, at, "250.122(A)", figures, circumstance=circumstance)
        if holds and not circumstance:
            wanted = increased_grounding_size(wire, rating, home.edition)
            figures = f"{wire.ground} AWG beside {wire.size} AWG on {rating:g} A: {wanted} AWG"
            rule = "equipment-grounding-conductor-increase"
            yield expect("increased equipment ground", is_at_least(wire.ground, wanted), rule, at, "250.122(B)", figures)
    if wire.neutral:
        wanted = min(grounding_size(rating), wire.size, key=table_mils)
        figures = f"neutral {wire.neutral} AWG, {wanted} AWG by {rating:g} A"
        rules = "feeder-neutral-size neutral-load *neutral-size"
        holds = is_at_least(wire.neutral, wanted)
        yield expect("feeder neutral", holds, rules, (name,), "215.2(B)", figures, circumstance=circumstance)


def standby(home: Home) -> Iterator[Expected]:
    """445.13(A), 702.5, 702.4(A)(2)(a): generator conductors, transfer switch, capacity; both sides' devices on what lies behind it."""
    for each in home.standby:
        made, feeder = each.generator, each.feeder
        yield from feeder_circuit(home, feeder.name, feeder.wire, feeder.device)
        larger = max(made.device, feeder.device, key=lambda device: device.rating)
        yield from feeder_circuit(home, f"{feeder.name}L", each.load_wire, larger)
        # the load side is judged with the larger device; where that is the generator's, the utility's breaker alone does not settle it
        name, wire = f"C{made.name}", made.wire
        share = Fraction(1) if made.overload_protected else Fraction(23, 20)
        need = exact(made.output_a) * share
        carried = ampacity(wire, home.edition)
        figures = f"{float(share * 100):g} percent of {made.output_a:g} A on {float(carried):g} A of {wire.size} AWG"
        yield expect("generator conductor", carried >= need, "generator-conductors", (name,), "445.13(A)", figures)
        wanted = min(grounding_size(made.device.rating), wire.size, key=table_mils)
        if wire.ground:
            figures = f"{wire.ground} AWG on {made.device.rating:g} A: {wanted} AWG"
            rule, holds = "equipment-grounding-conductor-size", is_at_least(wire.ground, wanted)
            yield expect("generator's equipment ground", holds, rule, (name,), "250.122(A)", figures)
        if wire.neutral:
            figures = f"neutral {wire.neutral} AWG beside {wire.size} AWG, {wanted} AWG as fault path"
            rules, holds = "*neutral*", is_at_least(wire.neutral, wanted)
            yield expect("generator's neutral", holds, rules, (name,), "445.13(A), 250.122", figures)
        ahead = larger.rating
        figures = f"{each.switch_a:g} A behind {ahead:g} A"
        yield expect("transfer switch", each.switch_a >= ahead, "transfer-equipment", (f"ATS{each.number}",), "702.5", figures)
        if len(home.standby) == 1 and not home.all_sources:
            figures = f"{each.load_va:g} VA on {made.output_a * VOLTS:g} VA"
            numbers = (("", each.load_va / VOLTS, made.output_a),)
            holds = exact(each.load_va) <= exact(made.output_a) * VOLTS
            rules, at = "backup-capacity", ("on the generator",)
            yield expect("standby capacity", holds, rules, at, "702.4(A)(2)(a)", figures, numbers=numbers)


def inlet(home: Home) -> Iterator[Expected]:
    """702.5, 110.3(B): the breaker within the inlet; 240.4; the neutral at least the grounding conductor; no marks on a back-fed breaker."""
    if home.inlet is None:
        return
    of = home.inlet
    carried = ampacity(of.wire, home.edition)
    figures = f"{of.device.rating:g} A on {float(carried):g} A of {of.wire.size} AWG, inlet {of.rating:g} A"
    holds = of.device.rating <= largest_device(carried, of.wire.size, of.wire.material)
    yield expect("inlet conductor", holds, "conductor-protection", ("CINL",), "240.4", figures)
    if of.wire.neutral:
        wanted = min(grounding_size(of.device.rating), of.wire.size, key=table_mils)
        figures = f"neutral {of.wire.neutral} AWG beside {of.wire.size} AWG: {wanted} AWG"
        yield expect("inlet's neutral", is_at_least(of.wire.neutral, wanted), "*neutral*", ("CINL",), "250.122, 702.5", figures)
    marked = of.device.marked_line_and_load
    at, figures = (f"{home.panel.name}.2", "CINL"), "back-fed breaker marked line and load" if marked else "without marks"
    yield expect("back-fed breaker's marks", not marked, "backfeed-suitable *back*fed*", at, "110.3(B)", figures, circumstance="inlet")
    at, figures = (f"{home.panel.name}.2", home.panel.name, "CINL"), "fastened" if of.device.fastened else "not fastened"
    yield expect("back-fed breaker's fastener", of.device.fastened, "back-fed-fastener", at, "408.36(D)", figures, circumstance="inlet")


def island(home: Home) -> Iterator[Expected]:
    """710.15(A), (B): the largest load within the sources; conductors by the sum of the sources *or* a device of their own (240.4)."""
    if home.island is None:
        return
    of = home.island
    sources = sum((current(battery) for battery in of.batteries), Fraction(0))
    total = sources + (current(of.pv) if of.pv else 0)
    carried = ampacity(of.feeder_wire, home.edition)
    ahead = min(device.rating for device in (of.main, of.load_device) if device)
    protected = of.load_device is not None and of.load_device.rating <= largest_device(
        carried, of.feeder_wire.size, of.feeder_wire.material
    )
    figures = f"sources of {float(total):g} A on {float(carried):g} A of {of.feeder_wire.size} AWG, own device " + (
        f"{of.load_device.rating:g} A" if of.load_device else "none"
    )
    circumstance = "own device" if protected else ""
    holds = carried >= total or protected
    yield expect("island feeder", holds, "island-conductors", ("F1",), "710.15(B), 240.4", figures, circumstance=circumstance)
    by_83 = carried >= exact(tables.DWELLING_FACTOR) * exact(ahead) and 100 <= ahead <= 400 and of.load_device is None
    holds = by_83 or ahead <= largest_device(carried, of.feeder_wire.size, of.feeder_wire.material)
    figures = f"{ahead:g} A on {float(carried):g} A of {of.feeder_wire.size} AWG"
    yield expect("island feeder protection", holds, "conductor-protection", ("F1",), "240.4, 310.12(B)", figures)
    for number, battery in enumerate(of.batteries, 1):
        at = (f"MID.BAT{number}", circuit_name(battery), battery.name, "MID")
        figures = "fastened" if battery.device.fastened else "not fastened"
        rules, place = "back-fed-fastener *fastener*", "interconnect device"
        yield expect("back-fed breaker's fastener", battery.device.fastened, rules, at, "710.15(E)", figures, circumstance=place)
    largest = max((load.va for load in home.loads if load.category != "general"), default=0.0)
    if largest and home.edition in {2017, 2020}:
        figures = f"largest load {largest / VOLTS:g} A on {float(sources):g} A of storage"
        at = ("islanded",)
        doubt = "whether sources that vary with the sun count towards it" if sources < exact(largest) / VOLTS <= total else ""
        holds = exact(largest) / VOLTS <= sources
        yield expect("island capacity", holds, "backup-capacity", at, "710.15(A)", figures, unsure=doubt)


def storage(home: Home) -> Iterator[Expected]:
    """IRC 2021 R328.3.1, R328.4, R328.5: energy of a unit and of a place, spacing, distance to openings outside."""
    batteries = [source for source in home.all_sources if source.siting]
    for place in sorted({source.siting.place for source in batteries if source.siting}):
        here = [source for source in batteries if source.siting and source.siting.place == place]
        total = sum((exact(source.siting.energy_kwh) for source in here if source.siting), Fraction(0))
        limit = exact(tables.STORAGE_TOTAL_KWH[place])
        figures = f"{float(total):g} kWh in {place}, {float(limit):g} kWh"
        at = ("system", place, *(source.name for source in here))
        yield expect("storage of a place", total <= limit, "storage-energy *storage*energy*", at, "R328.5", figures)
    for source in batteries:
        of = source.siting
        if of is None:
            continue
        figures = f"{of.energy_kwh:g} kWh"
        rules = "storage-unit* storage-energy"
        yield expect("storage unit", of.energy_kwh <= tables.STORAGE_UNIT_KWH, rules, (source.name,), "R328.5", figures)
        if len(batteries) > 1:
            apart = of.to_next_ft >= min(tables.STORAGE_SPACING_FT, of.listed_spacing_ft)
            figures = f"{of.to_next_ft:g} ft, listed for {of.listed_spacing_ft:g} ft"
            yield expect("storage spacing", apart, "storage-spacing", (source.name,), "R328.3.1", figures)
        if of.place in {"outside wall", "ground"}:
            figures = f"{of.to_opening_ft:g} ft to doors and windows"
            rules, holds = "storage-*opening* storage-*", of.to_opening_ft >= tables.STORAGE_SPACING_FT
            yield expect("storage from openings", holds, rules, (source.name,), "R328.4", figures)


def raceways(home: Home) -> Iterator[Expected]:
    """Chapter 9 Tables 1, 4, 5 for every raceway with one circuit; voltage rise of sources on the service panel; Table 300.5 cover."""
    wires = {"S1": home.service.lateral, "S2": home.service.entrance}
    wires |= {circuit_name(source): source.wire for source in home.all_sources}
    wires |= {feeder.name: feeder.wire for feeder in home.feeders}
    wires |= {each.feeder.name: each.feeder.wire for each in home.standby}
    wires |= {f"{each.feeder.name}L": each.load_wire for each in home.standby}
    wires |= {f"C{each.generator.name}": each.generator.wire for each in home.standby}
    for name, wire in wires.items():
        if wire.insulation not in tables.DIMENSION_GROUP or insulation_rating_c(wire) == 0:
            continue
        area, limit = fill_area(wire), fill_limit(wire)
        figures = f"{float(area):g} in² in {wire.run.trade_size} in {wire.run.kind}: {float(limit):g} in²"
        numbers = (("", float(area), float(limit)),)
        yield expect("conduit fill", area <= limit, "conduit-fill", (f"R{name}",), "Chapter 9 Table 1", figures, numbers=numbers)
        if wire.run.place == "underground":
            cover = tables.COVER_IN[wire.run.kind]
            figures = f"{wire.run.cover_in:g} in of cover, {cover:g} in"
            yield expect("burial cover", wire.run.cover_in >= cover, "burial-cover", (f"R{name}",), "Table 300.5", figures)
    for source in home.panel.sources if not (home.island or home.switch) else ():
        if source.kind != "combiner" and source.limit_a is None:
            rise = float(voltage_rise_percent(source.wire, current(source)))
            numbers = (("", rise, None),)
            name, figures = circuit_name(source), f"{rise:.3f} percent"
            rule = "voltage-rise"
            yield expect("voltage rise", True, rule, (name,), "210.19 note", figures, numbers=numbers)


def poles(home: Home) -> Iterator[Expected]:
    """240.15(B), 404.2: a breaker or switch opens all ungrounded conductors: two poles on 240 V, whatever holds the device."""
    told: list[tuple[Device, tuple[str, ...], str]] = []
    panels = [home.panel] if not home.island else [home.island.panel]
    for panel in panels:
        if panel.main:
            told.append((panel.main, (f"{panel.name}.main", panel.name), "main"))
    if home.island:
        told.append((home.island.main, ("MID.main", "MID"), "interconnect device's main"))
        told += [_source_poles(each, f"MID.BAT{i}") for i, each in enumerate(home.island.batteries, 1)]
    else:
        told += [_source_poles(each, f"{home.panel.name}.{each.space}") for each in home.panel.sources]
    told += [(each.source.device, (f"SW{each.source.name}", circuit_name(each.source)), "fused switch") for each in home.supply_side]
    for each in home.standby:
        told.append(
            (each.generator.device, (f"{each.generator.name}.breaker", each.generator.name, f"C{each.generator.name}"), "generator")
        )
    for device, subjects, circumstance in told:
        figures = f"{device.poles} pole(s) on 240 V"
        rules = "*pole* breaker-suitability *simultaneous*"
        yield expect("poles", device.poles >= 2, rules, subjects, "240.15(B)", figures, circumstance=circumstance)


def _source_poles(source: Source, at: str) -> tuple[Device, tuple[str, ...], str]:
    return source.device, (at, circuit_name(source), source.name), "source breaker"


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
    if not home.loads or home.standby:
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
    doubt = "" if (min(ways) <= capacity) == (standard <= capacity) else "which method the existing dwelling may use"
    doubt = doubt if home.existing else ""
    charging = "batteries that charge from the utility are loads" if any(source.kind == "battery" for source in home.all_sources) else ""
    if charging:
        numbers = ()
    rule, at = "service-capacity", ("UTIL",)
    yield expect("service load", min(ways) <= capacity, rule, at, "Article 220", figures, numbers=numbers, unsure=doubt or charging)


__all__ = ["carries_source", "of_panels", "of_service", "terminal_ampacity"]
