"""What Articles 690 and 705 say of the source circuits, strings and busbars of a home."""

from __future__ import annotations

from fractions import Fraction

from tests.oracle import tables
from tests.oracle.conductors import (
    ambient_c,
    ampacity,
    carries_source,
    corrected_ampacity,
    exact,
    is_at_least,
    largest_device,
    terminal_ampacity,
)
from tests.oracle.home import Expected, Home, Panel, Source, SupplySide, expect
from tests.oracle.write_project import branch_subject, circuit_name, device_names

FIVE_QUARTERS = Fraction(5, 4)
LIMITED_2023 = "705.28(A) of 2023 lets a limited current stand for the rated one where the energy management system is listed for it"
MAKER_BY_TABLE = "whether the factor of Table 690.7(A) may stand against the maker's largest input voltage, 110.3(B)"
INPUT_CURRENT = "whether the maker's figure is the usable current or the largest short-circuit current"
SWITCH_CURRENT = "whether a switch takes the current of its source or 125 percent of it"
SERVICE_RATING = "2017 says the rating of the service; whether a weaker conductor is its rating is not said"
LEAST_DEVICE_A = {2017: 15, 2020: 15, 2023: 10}  # 240.6(A): no branch breaker is smaller; 10 A is standard from 2023
DWELLING_LIMIT_V = 600


def of_sources(home: Home) -> list[Expected]:
    """Everything this module knows of a home."""
    found: list[Expected] = []
    supply_side = {each.source.name for each in home.supply_side}
    for source in home.all_sources:
        found += source_circuit(home, source, in_switch=source.name in supply_side)
        for branch in source.branches:
            found += source_circuit(home, branch, in_switch=False)
    for panel in _panels(home):
        found += busbar(home, panel)
    for each in home.supply_side:
        found += supply_side_circuit(home, each)
    if home.supply_side:
        found.append(supply_side_sum(home))
    return found


def _panels(home: Home) -> list[Panel]:
    own = [] if home.island else [home.panel]
    return [*own, *(feeder.panel for feeder in home.feeders)]


def current(source: Source) -> Fraction:
    """690.8(A) (2017 (A)(3), 705.60(A); 2020, 2023 705.28(A)): the rated continuous output current, sum of parallel units."""
    return sum((exact(each.unit_a) * each.units for each in source.branches or (source,)), Fraction(0))


def source_circuit(home: Home, source: Source, *, in_switch: bool) -> list[Expected]:
    """705.28(B), 705.30(A), (B) (2017 705.60(B), 705.65(A)): conductors and device of a source's output circuit; 240.4 for both."""
    name, edition, wire = circuit_name(source), home.edition, source.wire
    amperes, device = current(source), exact(source.device.rating)
    if corrected_ampacity(wire, edition) == 0:
        text = f"{wire.insulation} at {ambient_c(wire.run, wire.insulation, edition):g} °C: no ampacity left"
        holds = False
        return [expect("insulation below its ambient", holds, "conductor-ampacity conductor-protection", (name,), "310.14(A)(3)", text)]
    need = amperes * FIVE_QUARTERS
    doubt = LIMITED_2023 if source.limit_a is not None and edition >= 2023 else ""
    circumstance = "power control limit" if source.limit_a is not None else ("combiner output" if source.kind == "combiner" else "")
    terminal, corrected = terminal_ampacity(wire), corrected_ampacity(wire, edition)
    figures = f"{float(amperes):g} A on {wire.size} AWG: {float(terminal):g} A at terminals, {float(corrected):g} A after factors"
    numbers = (("at the terminals", float(terminal), float(need)), ("after factors", float(corrected), float(amperes)))
    subjects = (device_names(home)[source.name], name, source.name)
    place = "in a switch" if in_switch else circumstance
    carried = ampacity(wire, edition)
    found = [
        expect(
            "source conductor",
            carries_source(wire, amperes, edition),
            "conductor-ampacity",
            (name,),
            "705.28(B)",
            figures,
            circumstance=circumstance,
            numbers=() if circumstance else numbers,
            unsure=doubt,
        ),
        expect(
            "source device",
            device >= need,
            "overcurrent-rating pv-overcurrent-rating ess-overcurrent",
            subjects,
            "705.30(B)",
            f"{float(device):g} A for {float(need):g} A",
            circumstance=place,
            unsure=doubt,
        ),
        expect(
            "source conductor protection",
            device <= largest_device(carried, wire.size, wire.material),
            "conductor-protection",
            (name,),
            "240.4(B), (D)",
            f"{float(device):g} A on {float(carried):g} A of {wire.size} AWG",
        ),
    ]
    if source.kind != "combiner":
        found += by_the_maker(source, subjects, "in a switch" if in_switch else "")
    if source.strings:
        found += strings(home, source)
    return found


def by_the_maker(source: Source, subjects: tuple[str, ...], circumstance: str) -> list[Expected]:
    """110.3(B): largest device and units of a branch; 705.6 (2017: 705.4): sources in parallel with the utility are listed for it."""
    device, need = exact(source.device.rating), current(source) * FIVE_QUARTERS
    unit = branch_subject(source)
    listed = device <= exact(source.largest_device)
    figures = f"{float(device):g} A, {source.largest_device:g} A permitted"
    rules = "listed-overcurrent-maximum"
    found = [
        expect("maker's largest device", listed, rules, (*subjects, unit), "110.3(B)", figures, circumstance=circumstance),
        expect(
            "interactive listing",
            source.interactive_listed,
            "loss-of-primary *interactive*",
            (source.name, unit),
            "705.6",
            "listed as interactive: " + ("yes" if source.interactive_listed else "no"),
            circumstance=source.kind,
        ),
    ]
    if source.kind == "branch":
        holds = device >= need and source.units <= source.largest_units and listed
        figures = f"{source.units} units need {float(need):g} A; {float(device):g} A, {source.largest_units} units permitted"
        found.append(expect("microinverter branch", holds, "microinverter-branch", (unit,), "690.8, 705.30", figures))
    return found


def cold_factor(lowest_c: float) -> Fraction:
    """Table 690.7(A): the row that holds the temperature."""
    return next(exact(factor) for cold, factor in tables.COLD_VOLTAGE if lowest_c >= cold)


def strings(home: Home, source: Source) -> list[Expected]:
    """690.7(A)(1), (2): either method may be used; 690.8(A), (B): 1.25 and 1.5625 Isc; 690.45: ground by an assumed device."""
    of = source.strings
    if of is None:
        return []
    factor = 1 + exact(of.coefficient) / 100 * (exact(home.lowest_c) - 25)
    by_coefficient = of.modules * exact(of.voc) * factor
    by_table = of.modules * exact(of.voc) * cold_factor(home.lowest_c)
    limit = min(DWELLING_LIMIT_V, exact(of.largest_input_v), 1000)
    amperes = exact(of.isc) * FIVE_QUARTERS
    count = 2 * of.count
    wire, edition = of.wire, home.edition
    need = amperes * FIVE_QUARTERS
    corrected, terminal = corrected_ampacity(wire, edition, count), terminal_ampacity(wire)
    doubt = MAKER_BY_TABLE if limit < DWELLING_LIMIT_V and min(by_coefficient, by_table) <= limit < by_coefficient else ""
    volts = f"{of.modules} x {of.voc:g} V at {home.lowest_c:g} °C: {float(by_coefficient):g} V, by the table {float(by_table):g} V"
    amps = f"Isc {of.isc:g} A: {float(need):g} A on {float(terminal):g} A at terminals, {float(amperes):g} A on {float(corrected):g} A"
    found = []
    for letter in "ABCD"[: of.count]:
        holds = min(by_coefficient, by_table) <= limit
        numbers = (("module's temperature coefficient", float(by_coefficient), None), ("factor of the table", float(by_table), None))
        at = (f"A{source.name}.{letter}",)
        found.append(expect("string voltage", holds, "pv-maximum-voltage", at, "690.7(A)", volts, numbers=numbers, unsure=doubt))
        numbers = (("at the terminals", float(terminal), float(need)), ("after factors", float(corrected), float(amperes)))
        holds = terminal >= need and corrected >= amperes
        at = (f"D{source.name}{letter}",)
        found.append(expect("string conductor", holds, "conductor-ampacity", at, "690.8(B)", amps, numbers=numbers))
    isc, most = exact(of.isc), exact(of.largest_input_a)
    doubt = INPUT_CURRENT if isc <= most < amperes else ""
    at = (source.name, f"A{source.name}", *(f"A{source.name}.{x}" for x in "ABCD"), *(f"D{source.name}{x}" for x in "ABCD"))
    figures = f"Isc {of.isc:g} A on an input of {of.largest_input_a:g} A"
    found.append(expect("inverter's input current", isc <= most, "*input*", at, "110.3(B)", figures, unsure=doubt))
    return found


def ends_of(panel: Panel, spaces: list[int]) -> set[str]:
    """At which ends of the busbar the breakers stand; two poles take a space and the one below it on the same side."""
    ends = set()
    for space in spaces:
        if space <= 2:
            ends.add("top")
        elif space >= panel.spaces - 3:
            ends.add("bottom")
        else:
            ends.add("between")
    return ends


def busbar_spaces(home: Home, panel: Panel) -> tuple[list[int], Fraction]:
    """Where sources reach the busbar from its load side, and the sum of their currents."""
    spaces = [source.space for source in panel.sources]
    total = sum((current(source) for source in panel.sources), Fraction(0))
    if panel is home.panel:
        for feeder in home.feeders:
            if feeder.panel.sources:
                spaces.append(feeder.space)
                total += sum((current(source) for source in feeder.panel.sources), Fraction(0))
    return spaces, total


def primary_device(home: Home, panel: Panel) -> Fraction:
    """408.36, 705.12: the device that protects the busbar from the primary source, the smallest of those in its path."""
    ahead = [panel.main] if panel.main else []
    if panel is home.panel and home.switch:
        ahead.append(home.switch.device)
    ahead += [feeder.device for feeder in home.feeders if feeder.panel is panel]
    ahead += [each.feeder.device for each in home.standby if each.feeder.panel is panel]
    return min(exact(each.rating) for each in ahead)


def busbar(home: Home, panel: Panel) -> list[Expected]:
    """705.12(B)(1)-(4) (2020 (B)(3)(1)-(4), 2017 (B)(2)(3)(a)-(d)): any one method; *every* source at the end opposite the supply.

    The sum of all devices is out of reach where even the smallest breakers on the poles in use would exceed the rating.
    """
    spaces, total = busbar_spaces(home, panel)
    if not spaces:
        return []
    rating, supply = exact(panel.busbar), primary_device(home, panel)
    sources = total * FIVE_QUARTERS
    ends = ends_of(panel, spaces)
    opposite = {"top": {"bottom"}, "bottom": {"top"}}.get(panel.supply_end)
    by_sum = supply + sources <= rating
    by_position = ends == opposite if opposite else ends in ({"top"}, {"bottom"})
    by_120 = by_position and supply + sources <= rating * Fraction(6, 5)
    poles = 30 if panel is home.panel else 6
    least_devices = poles // 2 * LEAST_DEVICE_A[home.edition] + sum((exact(source.device.rating) for source in panel.sources), Fraction(0))
    doubt = ""
    if not (by_sum or by_120) and (least_devices <= rating):
        doubt = "705.12(B)(3): the sum of all devices, which are not told"
    sources_here = [*panel.sources, *(source for feeder in home.feeders if panel is home.panel for source in feeder.panel.sources)]
    if any(source.limit_a is not None for source in sources_here):
        doubt = "705.13: a power control system may bring the sum down"
    circumstance = "center-fed" if panel.supply_end == "center" else ("several sources" if len(spaces) > 1 else "")
    if panel is not home.panel:
        circumstance = "behind a feeder"
    figures = (
        f"P {float(supply):g} + S {float(sources):g} on B {panel.busbar:g} A, {panel.supply_end}-fed, sources at {', '.join(sorted(ends))}"
    )
    holds = by_sum or by_120
    return [expect("busbar", holds, "busbar-sources", (panel.name,), "705.12(B)", figures, circumstance=circumstance, unsure=doubt)]


def supply_side_sum(home: Home) -> Expected:
    """705.11(A) (2017 705.12(A)): 2017 devices within the rating of the service; from 2020 currents within the *weakest* conductors."""
    weakest = min(ampacity(wire, home.edition) for wire in (home.service.lateral, home.service.entrance))
    if home.edition == 2017:
        total = sum((exact(each.source.device.rating) for each in home.supply_side), Fraction(0))
        limit = exact(home.panel.main.rating) if home.panel.main else weakest
    else:
        total, limit = sum((current(each.source) for each in home.supply_side), Fraction(0)), weakest
    figures = f"{float(total):g} A on {float(limit):g} A"
    doubt = SERVICE_RATING if home.edition == 2017 and (total <= limit) != (total <= weakest) else ""
    numbers = () if doubt else (("", float(total), float(limit)),)
    return expect("supply-side sum", total <= limit, "supply-side-sources", ("UTIL",), "705.11(A)", figures, numbers=numbers, unsure=doubt)


def supply_side_circuit(home: Home, each: SupplySide) -> list[Expected]:
    """705.11(B), 705.28(B): service conductors to the source's switch carry 125 percent of it; 6 AWG copper, 4 AWG aluminum at least."""
    name, wire, edition = f"T{each.source.name}", each.tap, home.edition
    amperes, device = current(each.source), exact(each.source.device.rating)
    carries = carries_source(wire, amperes, edition)
    least = {"copper": "6" if edition >= 2020 else "8", "aluminum": "4" if edition >= 2020 else "6"}[wire.material]
    figures = f"{float(amperes):g} A on {wire.size} AWG {wire.material}: {float(terminal_ampacity(wire)):g} A at terminals"
    protected = device <= largest_device(ampacity(wire, edition), wire.size, wire.material)
    around = f"{each.switch_a:g} A around {float(device):g} A"
    switch = (f"SW{each.source.name}",)
    rated = exact(each.switch_a) >= device
    doubt = SWITCH_CURRENT if rated and exact(each.switch_a) < amperes * FIVE_QUARTERS else ""
    return [
        expect("supply-side conductor", carries, "conductor-ampacity", (name,), "705.28(B)", figures),
        expect("supply-side least size", is_at_least(wire.size, least), "service-conductor-minimum", (name,), "705.11(B)", figures),
        expect("supply-side protection", protected, "conductor-protection", (name,), "240.4", figures),
        expect("switch rating", rated, "disconnect-rating pv-disconnect-rating", switch, "110.3(B), 705.20(6)", around, unsure=doubt),
    ]
