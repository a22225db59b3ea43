"""What the text says of panels, feeders, generators, islands, places and raceways of a home."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from tests.oracle import tables
from tests.oracle.conductors import (
    ampacity,
    carries_source,
    electrode_conductor_size,
    exact,
    fill_area,
    fill_limit,
    grounding_size,
    increased_grounding_size,
    insulation_rating_c,
    is_at_least,
    largest_device,
    table_mils,
    voltage_rise_percent,
)
from tests.oracle.expected_service import VOLTS, fault_bounds_ka
from tests.oracle.expected_sources import current, primary_device
from tests.oracle.home import Device, Expected, Feeder, Generator, Home, Island, Panel, Source, Wire, expect
from tests.oracle.write_project import circuit_name

LEAST_SHARE_OF_FAULT = 0.98  # what the two ways of reckoning a fault current may differ by besides
LOAD_DEVICE = "whether a load device of its own makes the inside of an interconnect device no busbar"
OWN_BREAKER = "445.13(A): a breaker of its own that protects the conductors is commonly read as a design that prevents overloading"


def of_panels(home: Home) -> list[Expected]:
    """Panelboards, feeders, standby circuits, islands, storage places, fill and rise of every circuit told."""
    found: list[Expected] = []
    for panel in _panels(home):
        found += panelboard(home, panel)
    for feeder in home.feeders:
        found += feeder_circuit(home, feeder.name, feeder.wire, feeder.device)
        if feeder.panel.sources:
            found.append(feeder_of_sources(home, feeder))
        if feeder.electrode_conductor:
            wanted = electrode_conductor_size(feeder.wire, ("water pipe", "ground rod"))
            holds = is_at_least(feeder.electrode_conductor, wanted)
            rules, at = "outside-grounding grounding-electrode-conductor-size", (f"GES{feeder.name}", feeder.panel.name, feeder.name)
            figures = f"{feeder.electrode_conductor} AWG, {wanted} AWG by {feeder.wire.size} AWG"
            found.append(expect("second building's electrode conductor", holds, rules, at, "250.32(E), 250.66", figures))
    found += [
        *standby(home),
        *inlet(home),
        *island(home),
        *(island_fasteners(home.island) if home.island else ()),
        *storage(home),
        *source_spaces(home),
        *raceways(home),
        *poles(home),
    ]
    return found


def _panels(home: Home) -> list[Panel]:
    own = [home.island.panel] if home.island else [home.panel]
    return [*own, *(feeder.panel for feeder in home.feeders), *(each.feeder.panel for each in home.standby)]


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
    figures = "dedicated space " + ("clear" if panel.dedicated_clear else "obstructed")
    yield expect("dedicated space", panel.dedicated_clear, "dedicated-space", (panel.name,), "110.26(E)(2)", figures)
    if panel is home.panel and not home.switch and panel.main:
        low, high_ka = fault_bounds_ka(home)
        extra = sum(float(current(source)) for source in home.all_sources) * 1.6 / 1000
        rating = panel.main.interrupting_ka
        doubt = "between both ways of reckoning" if low * LEAST_SHARE_OF_FAULT <= rating < (high_ka + extra) * 1.01 else ""
        figures = f"{rating:g} kA for {low:.2f} to {high_ka + extra:.2f} kA"
        at = (f"{panel.name}.main",)
        yield expect("interrupting rating", rating >= high_ka, "interrupting-rating", at, "110.9", figures, unsure=doubt)


def feeder_circuit(home: Home, name: str, wire: Wire, device: Device, circumstance: str = "") -> Iterator[Expected]:
    """240.4 for the conductors, 250.122(A), (B) for the grounding conductor, 215.2(A)(2) (2023 215.2(B)) for the neutral.

    ``device`` is the largest that can feed a fault on the circuit in any mode.
    """
    carried = ampacity(wire, home.edition)
    behind = [source for feeder in home.feeders if feeder.name == name for source in feeder.panel.sources]
    outputs = sum((current(source) for source in behind), Fraction(0))
    figures = f"{device.rating:g} A on {float(carried):g} A of {wire.size} AWG, sources of {float(outputs):g} A"
    holds = device.rating <= largest_device(carried, wire.size, wire.material) and outputs <= carried
    yield expect("feeder conductor protection", holds, "conductor-protection", (name,), "240.4(B), (D)", figures)
    rating = device.rating
    wanted = grounding_size(rating)
    circumstance = circumstance or ("sources at its end" if outputs else "")
    if wire.ground:
        wanted = min(wanted, wire.size, key=table_mils)
        figures = f"{wire.ground} AWG on {rating:g} A: {wanted} AWG"
        at, rule = (name,), "equipment-grounding-conductor-size"
        holds = is_at_least(wire.ground, wanted)
        yield expect("equipment ground", holds, rule, at, "250.122(A)", figures, circumstance=circumstance)
        if holds:
            wanted = increased_grounding_size(wire, rating, home.edition)
            figures = f"{wire.ground} AWG beside {wire.size} AWG on {rating:g} A: {wanted} AWG"
            rule = "equipment-grounding-conductor-increase"
            holds = is_at_least(wire.ground, wanted)
            yield expect("increased equipment ground", holds, rule, at, "250.122(B)", figures, circumstance=circumstance)
    if wire.neutral:
        wanted = min(grounding_size(rating), wire.size, key=table_mils)
        figures = f"neutral {wire.neutral} AWG, {wanted} AWG by {rating:g} A"
        rules = "feeder-neutral-size"
        holds = is_at_least(wire.neutral, wanted)
        yield expect("feeder neutral", holds, rules, (name,), "215.2(B)", figures, circumstance=circumstance)


def feeder_of_sources(home: Home, feeder: Feeder) -> Expected:
    """705.28(B), 705.30(B), 705.12(A) (2017, 2020 (B)(2)(1)): conductors and device of a feeder carry 125 percent of the sources."""
    amperes = sum((current(source) for source in feeder.panel.sources), Fraction(0))
    need = amperes * Fraction(5, 4)
    holds = carries_source(feeder.wire, amperes, home.edition) and exact(feeder.device.rating) >= need
    figures = f"{float(need):g} A on {feeder.wire.size} AWG behind {feeder.device.rating:g} A"
    rules = "feeder-with-source conductor-ampacity overcurrent-rating" + ("" if holds else " conductor-protection")
    at = (feeder.name, f"{home.panel.name}.{feeder.space}")
    return expect("feeder of sources", holds, rules, at, "705.28(B), 705.30(B)", figures)


def standby(home: Home) -> Iterator[Expected]:
    """445.13(A), 702.5, 702.4(A)(2)(a): generator conductors, transfer switch, capacity; both sides' devices on what lies behind it."""
    for each in home.standby:
        made, feeder = each.generator, each.feeder
        yield from feeder_circuit(home, feeder.name, feeder.wire, feeder.device)
        larger = max(made.device, feeder.device, key=lambda device: device.rating)
        behind = "behind a transfer switch" if made.device.rating > feeder.device.rating else ""
        yield from feeder_circuit(home, f"{feeder.name}L", each.load_wire, larger, behind)
        yield from generator_circuit(home, made)
        ahead = larger.rating
        figures = f"{each.switch_a:g} A behind {ahead:g} A"
        yield expect("transfer switch", each.switch_a >= ahead, "transfer-equipment", (f"ATS{each.number}",), "702.5", figures)
        if len(home.standby) == 1:
            # What leaves the machine passes its own device, which opens above its rating (240.6(A), 445.12(A)): the lesser of both is
            # what "capable of supplying" can mean at the transfer equipment. Demand factors are in the load; 125 percent of its
            # continuous part belongs to conductors and devices (215.3), not to 702.4.
            given = min(exact(made.output_a), exact(made.device.rating))
            figures = f"{each.load_va:g} VA on {float(given) * VOLTS:g} VA, behind its own device of {made.device.rating:g} A"
            numbers = (("", each.load_va / VOLTS, float(given)),)
            holds = exact(each.load_va) <= given * VOLTS
            rules, at = "backup-capacity", ("on the generator",)
            yield expect("standby capacity", holds, rules, at, "702.4(A)(2)(a)", figures, numbers=numbers)


def generator_circuit(home: Home, made: Generator) -> Iterator[Expected]:
    """445.13(A): 115 percent, or 100 where overloading is prevented; 250.122 for ground and neutral by the generator's own device."""
    name, wire = f"C{made.name}", made.wire
    share = Fraction(1) if made.overload_protected else Fraction(23, 20)
    need = exact(made.output_a) * share
    carried = ampacity(wire, home.edition)
    figures = f"{float(share * 100):g} percent of {made.output_a:g} A on {float(carried):g} A of {wire.size} AWG"
    held = carried >= exact(made.output_a) and made.device.rating <= largest_device(carried, wire.size, wire.material)
    doubt = OWN_BREAKER if carried < need and held else ""
    yield expect("generator conductor", carried >= need, "generator-conductors", (name,), "445.13(A)", figures, unsure=doubt)
    wanted = min(grounding_size(made.device.rating), wire.size, key=table_mils)
    if wire.ground:
        figures = f"{wire.ground} AWG on {made.device.rating:g} A: {wanted} AWG"
        rule, holds = "equipment-grounding-conductor-size", is_at_least(wire.ground, wanted)
        yield expect("generator's equipment ground", holds, rule, (name,), "250.122(A)", figures)
    if wire.neutral:
        figures = f"neutral {wire.neutral} AWG beside {wire.size} AWG, {wanted} AWG as fault path"
        rules, holds = "*neutral*", is_at_least(wire.neutral, wanted)
        yield expect("generator's neutral", holds, rules, (name,), "445.13(A), 250.122", figures)


def inlet(home: Home) -> Iterator[Expected]:
    """702.5, 110.3(B): the breaker within the inlet; 240.4; the neutral at least the grounding conductor; no marks on the breaker."""
    if home.inlet is None:
        return
    of = home.inlet
    carried = ampacity(of.wire, home.edition)
    figures = f"{of.device.rating:g} A on {float(carried):g} A of {of.wire.size} AWG, inlet {of.rating:g} A"
    holds = of.device.rating <= largest_device(carried, of.wire.size, of.wire.material)
    yield expect("inlet conductor", holds, "conductor-protection conductor-ampacity", ("CINL",), "240.4", figures)
    if of.wire.neutral:
        wanted = min(grounding_size(of.device.rating), of.wire.size, key=table_mils)
        figures = f"neutral {of.wire.neutral} AWG beside {of.wire.size} AWG: {wanted} AWG"
        yield expect("inlet's neutral", is_at_least(of.wire.neutral, wanted), "*neutral*", ("CINL",), "250.122, 702.5", figures)
    marked = of.device.marked_line_and_load
    at, figures = (f"{home.panel.name}.2", "CINL"), "back-fed breaker marked line and load" if marked else "without marks"
    yield expect("back-fed breaker's marks", not marked, "backfeed-suitable", at, "110.3(B)", figures, circumstance="inlet")
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
    by_83 = carried >= exact(tables.DWELLING_FACTOR) * exact(ahead) and 100 <= ahead <= 400
    holds = by_83 or ahead <= largest_device(carried, of.feeder_wire.size, of.feeder_wire.material)
    figures = f"{ahead:g} A on {float(carried):g} A of {of.feeder_wire.size} AWG"
    yield expect("island feeder protection", holds, "conductor-protection", ("F1",), "240.4, 310.12(B)", figures)
    figures = f"{of.main.rating:g} A on a busbar of {of.busbar:g} A"
    circumstance = "listing stated" if of.listing else ""
    rules, holds = "busbar-sources panelboard-protection", of.main.rating <= of.busbar
    doubt = LOAD_DEVICE if of.load_device and not of.listing else ""
    if not holds:
        at, section = ("MID",), "408.36, 705.12(B)"
        yield expect("interconnect device's busbar", holds, rules, at, section, figures, circumstance=circumstance, unsure=doubt)
    largest = max((load.va for load in home.loads if load.category != "general"), default=0.0)
    if largest and home.edition in {2017, 2020}:
        figures = f"largest load {largest / VOLTS:g} A on {float(sources):g} A of storage"
        at = ("islanded",)
        doubt = "whether sources that vary with the sun count toward it" if sources < exact(largest) / VOLTS <= total else ""
        holds = exact(largest) / VOLTS <= sources
        yield expect("island capacity", holds, "backup-capacity", at, "710.15(A)", figures, unsure=doubt)


def island_fasteners(of: Island) -> Iterator[Expected]:
    """710.15(E), 408.36(D): back-fed breakers of sources that keep the island alive are fastened."""
    for number, battery in enumerate(of.batteries, 1):
        at = (f"MID.BAT{number}", circuit_name(battery), battery.name, "MID")
        figures = "fastened" if battery.device.fastened else "not fastened"
        rules, place = "back-fed-fastener *fastener*", "interconnect device"
        yield expect("back-fed breaker's fastener", battery.device.fastened, rules, at, "710.15(E)", figures, circumstance=place)


def source_spaces(home: Home) -> Iterator[Expected]:
    """110.26(A)(2): inverters and batteries that are serviced alive have a working space 30 in wide like other equipment."""
    for source in home.all_sources:
        if source.kind in {"inverter", "battery"}:
            figures = f"{source.clear_width_in:g} in wide"
            holds = source.clear_width_in >= tables.WORKING_WIDTH_IN
            yield expect("working space of a source", holds, "working-space", (source.name,), "110.26(A)(2)", figures)


def storage(home: Home) -> Iterator[Expected]:
    """IRC 2021 R328.3.1, R328.4, R328.5: energy of a unit and of a place, spacing, distance to openings outside."""
    batteries = [(source, source.siting) for source in home.all_sources if source.siting]
    totals: dict[str, Fraction] = {}
    for _, of in batteries:
        totals[of.place] = totals.get(of.place, Fraction(0)) + exact(of.energy_kwh)
    if batteries:
        within = all(total <= exact(tables.STORAGE_TOTAL_KWH[place]) for place, total in totals.items())
        small = all(of.energy_kwh <= tables.STORAGE_UNIT_KWH for _, of in batteries)
        told = ", ".join(f"{float(total):g} kWh in {place}" for place, total in totals.items())
        figures = f"{told}; largest unit {max(of.energy_kwh for _, of in batteries):g} kWh"
        yield expect("storage energy", within and small, "storage-energy", ("system",), "R328.5", figures)
    for source, of in batteries:
        if len(batteries) > 1:
            apart = of.to_next_ft >= min(tables.STORAGE_SPACING_FT, of.listed_spacing_ft)
            figures = f"{of.to_next_ft:g} ft, listed for {of.listed_spacing_ft:g} ft"
            yield expect("storage spacing", apart, "storage-spacing", (source.name,), "R328.3.1", figures)
        if of.place in {"outside wall", "ground"}:
            figures = f"{of.to_opening_ft:g} ft to doors and windows"
            holds = of.to_opening_ft >= tables.STORAGE_SPACING_FT
            yield expect("storage from openings", holds, "storage-openings", (source.name,), "R328.4", figures)


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
            holds = True  # a note, no requirement: only the figure is compared
            yield expect("voltage rise", holds, rule, (name,), "210.19 note", figures, numbers=numbers)


def poles(home: Home) -> Iterator[Expected]:
    """240.15(B), 404.2: a breaker or switch opens all ungrounded conductors: two poles on 240 V, whatever holds the device."""
    told: list[tuple[Device, tuple[str, ...], str]] = []
    panels = [home.panel] if not home.island else [home.island.panel]
    told += [(panel.main, (f"{panel.name}.main", panel.name), "main") for panel in panels if panel.main]
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
