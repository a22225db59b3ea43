"""Homes from a seed: of every kind, with two of what there may be two of, and half of the figures within 3 percent of a limit."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

from tests.oracle import tables
from tests.oracle.conductors import (
    ampacity,
    corrected_ampacity,
    exact,
    fault_path_size,
    fill_area,
    fill_limit,
    grounding_size,
    increased_grounding_size,
    next_standard,
    smallest_size,
)
from tests.oracle.expected_service import fault_bounds_ka
from tests.oracle.expected_sources import cold_factor, current
from tests.oracle.home import (
    Device,
    Feeder,
    Generator,
    Home,
    Inlet,
    Island,
    Load,
    Panel,
    Run,
    Service,
    Siting,
    Source,
    Standby,
    Strings,
    SupplySide,
    Switch,
    Wire,
)

EDITIONS = (2017, 2020, 2023)
NEAR = 0.03
SIZES = tables.SIZES


class Maker:
    """Draws the parts of one home."""

    def __init__(self, seed: int) -> None:
        self.rng = random.Random(seed)
        self.edition = self.rng.choice(EDITIONS)

    def chance(self, share: float = 0.5) -> bool:
        return self.rng.random() < share

    def near(self, limit: float, digits: int = 1) -> float:
        """Just beyond or just within a limit, or at it."""
        return round(float(limit) * (1 + self.rng.choice((0.0, self.rng.uniform(-NEAR, NEAR)))), digits)

    def neighbor(self, size: str, share: float = 0.3) -> str:
        """The size, or the next smaller one."""
        at = SIZES.index(size)
        return SIZES[max(0, at - 1)] if self.chance(share) else size

    def run(self, trade_size: str = "1") -> Run:
        place = self.rng.choice(("indoors", "outdoors", "roof", "attic"))
        ambient = self.rng.choice((30, 36, 40, 41) if place == "roof" else (30, 36, 40, 41, 45, 50, 55))
        above = self.rng.choice((0.5, 0.75, 0.875, 1.0, 3.0)) if place == "roof" else None
        length = self.rng.choice((2.0, 2.1, 12.0, 44.0))
        others = self.rng.choice((0, 0, 0, 2, 5))
        return Run("EMT", trade_size, length, place, ambient, above, others=others)

    def wire(self, current: Fraction, device: float, terminals: tuple[int, ...] = (75, 75, 75, 60)) -> Wire:
        """Conductors for a current and a device: as small as the text lets them be, one size smaller, or larger."""
        run = self.run()
        insulation = self.rng.choice(("THWN-2", "THWN-2", "XHHW-2", "THWN"))
        wire = Wire("8", run, insulation=insulation, terminal_c=self.rng.choice(terminals))
        if run.place in {"indoors", "attic"} and insulation == "THWN":
            wire = replace(wire, insulation="THHN")
        if corrected_ampacity(wire, self.edition) == 0:
            wire = replace(wire, insulation="THWN-2")
        size = self.neighbor(smallest_size(wire, device, self.edition, current, current * Fraction(5, 4)))
        table = min(grounding_size(device), size, key=SIZES.index)
        return self.fitting(replace(wire, size=size, ground=self.neighbor(table, 0.15)))

    def fitting(self, wire: Wire) -> Wire:
        """In the smallest raceway whose fill passes, or the one before it."""
        sizes = list(tables.CONDUIT_AREA[wire.run.kind])
        wires = [replace(wire, run=replace(wire.run, trade_size=size)) for size in sizes]
        first = next((at for at, each in enumerate(wires) if fill_area(each) <= fill_limit(each)), len(wires) - 1)
        return wires[max(0, first - 1)] if self.chance(0.25) else wires[first]

    def device(self, need: Fraction) -> Device:
        """The next standard rating, or the one below it."""
        rating = next_standard(need)
        at = tables.STANDARD_DEVICES.index(rating)
        rating = tables.STANDARD_DEVICES[max(0, at - 1)] if self.chance(0.2) else rating
        return Device(rating, poles=1 if self.chance(0.05) else 2)

    def branch(self, name: str, space: int) -> Source:
        most = self.rng.choice((8, 10, 11, 13))
        unit = self.near(16 / most, 2) if self.chance() else self.rng.choice((1.21, 1.38, 1.6))
        units = max(1, int(16 / unit) + self.rng.choice((-1, 0, 0, 1)))
        amperes = exact(unit) * units
        device = Device(self.rng.choice((20, 20, 20, 25)))
        wire = self.wire(amperes, device.rating, terminals=(75,))
        return Source(name, "branch", unit, device, wire, space, units, largest_device=20, largest_units=most + self.rng.choice((-1, 0, 2)))

    def inverter(self, name: str, space: int, limit: float = 32.0) -> Source:
        amperes = self.near(limit, 1) if self.chance() else self.rng.choice((16.0, 24.0, 25.0, 32.0, 33.3, 40.0))
        device = self.device(exact(amperes) * Fraction(5, 4))
        largest = self.rng.choice((device.rating, 50, 60))
        source = Source(name, "inverter", amperes, device, self.wire(exact(amperes), device.rating), space, largest_device=largest)
        limited = round(amperes / 2, 1) if self.chance(0.08) else None
        return replace(source, strings=self.strings(), interactive_listed=not self.chance(0.05), limit_a=limited)

    def strings(self) -> Strings:
        lowest = self.lowest_c
        modules = self.rng.randint(8, 13)
        coefficient = self.rng.choice((-0.25, -0.27, -0.3, -0.33))
        factor = 1 + exact(coefficient) / 100 * (exact(lowest) - 25)
        factor = factor if self.chance() else cold_factor(lowest)
        voc = self.near(float(600 / modules / factor), 2) if self.chance() else self.rng.choice((37.2, 41.0, 49.5))
        isc = self.rng.choice((9.5, 11.4, 12.0, 13.9, 15.2, 16.0, 18.7))
        wire = Wire("10", replace(self.run(), others=0))
        wire = replace(wire, size=self.rng.choice(("12", "10", "10", "8")), ground="10")
        count = self.rng.choice((1, 2, 2, 3))
        limit = self.rng.choice((600.0, 600.0, 600.0, 550.0))
        return Strings(count, modules, voc, isc, coefficient, 30, wire, limit, self.rng.choice((30.0, 30.0, isc - 1)))

    def battery(self, name: str, space: int, place: str) -> Source:
        amperes = self.rng.choice((20.0, 24.0, 32.0, 40.0, 48.0))
        device = self.device(exact(amperes) * Fraction(5, 4))
        energy = self.near(tables.STORAGE_UNIT_KWH, 1) if self.chance(0.3) else self.rng.choice((9.8, 12.4, 13.4))
        siting = Siting(energy, place, self.near(3, 2), self.rng.choice((0.5, 3.0)), self.near(3, 2))
        wire = self.wire(exact(amperes), device.rating)
        return Source(name, "battery", amperes, device, wire, space, largest_device=self.rng.choice((device.rating, 60)), siting=siting)

    def service(self) -> Service:
        size, material = self.rng.choice(
            (("4/0", "aluminum"), ("4/0", "aluminum"), ("2/0", "copper"), ("3/0", "copper"), ("3/0", "aluminum"))
        )
        insulation = "XHHW-2" if material == "aluminum" else "THWN-2"
        lateral = Wire(size, Run("PVC-40", "2", float(self.rng.randint(20, 90)), "underground", 30), material, insulation)
        lateral = replace(lateral, run=replace(lateral.run, cover_in=self.near(18, 1) if self.chance() else 24.0))
        lateral = replace(lateral, neutral=self.neighbor(fault_path_size(lateral)) if self.chance(0.4) else size)
        entrance = replace(lateral, run=Run("RMC", "2", self.rng.choice((1.5, 2.0, 8.0)), "outdoors", 36))
        fault = self.rng.choice((6.0, 9.0, 10.0, 14.0, 21.0, 24.0))
        conductor = self.rng.choice(("4", "4", "6", "2"))
        return Service(lateral, entrance, fault, electrode_conductor=conductor, bonding_jumper=self.rng.choice((None, "4", "6")))

    def panel(self, sources: tuple[Source, ...]) -> Panel:
        busbar, main = self.rng.choice(((200, 200), (200, 200), (225, 200), (200, 175), (125, 100), (100, 125)))
        end = self.rng.choice(("top", "top", "top", "bottom", "center"))
        grip = self.near(tables.GRIP_IN, 1) if self.chance() else 70.0
        depth = self.near(tables.WORKING_DEPTH_IN, 1) if self.chance(0.3) else 60.0
        poles = 1 if self.chance(0.05) else 2
        return Panel("MSP", busbar, Device(main, poles), sources, supply_end=end, grip_in=grip, clear_depth_in=depth)

    def load_side(self, panel: Panel, count: int) -> Panel:
        """One to three sources on the panel, their currents near what its 120 percent leaves."""
        main = panel.main.rating if panel.main else panel.busbar
        left = max((1.2 * panel.busbar - main) / 1.25, 12.0)
        opposite, beside = ([37, 38], [1, 2]) if panel.supply_end == "top" else ([1, 2], [37, 38])
        spaces = opposite if self.chance(0.6) else self.rng.sample([*opposite, *beside, 17], 2)
        sources = []
        for at in range(count):
            kind = self.rng.choice(("branch", "inverter", "battery"))
            name = f"{ {'branch': 'PV', 'inverter': 'INV', 'battery': 'ESS'}[kind] }{at + 1}".replace(" ", "")
            if kind == "branch":
                sources.append(self.branch(name, spaces[at]))
            elif kind == "inverter":
                sources.append(self.inverter(name, spaces[at], left / count))
            else:
                sources.append(self.battery(name, spaces[at], self.place))
        return replace(panel, sources=tuple(sources))

    @property
    def lowest_c(self) -> float:
        return self._lowest

    @property
    def place(self) -> str:
        return self._place

    def home(self, name: str) -> Home:
        self._lowest = float(self.rng.randint(-30, 2))
        self._place = self.rng.choice(("garage", "utility room", "outside wall"))
        loads = (
            Load("cooking", self.rng.choice((8000.0, 9600.0, 12000.0))),
            Load("dryer", self.rng.choice((4500.0, 5000.0, 5500.0))),
            Load("water heater", 4500.0),
            Load("fixed appliance", self.rng.choice((1200.0, 1200.0, 12000.0, 24000.0))),
            Load("general", 2400.0, both_legs=False),
        )
        base = Home(name, self.edition, self.service(), self.panel(()), loads=loads, lowest_c=self._lowest)
        base = replace(base, floor_area_ft2=float(self.rng.randint(1200, 4200)))
        if self.chance(0.2):
            base = replace(base, existing=True, service=replace(base.service, measured_peak_a=float(self.rng.randint(60, 160))))
        kinds: tuple[Callable[[Home], Home], ...] = (
            self.with_load_side,
            self.with_load_side,
            self.with_supply_side,
            self.with_feeder,
            self.with_standby,
            self.with_inlet,
            self.with_island,
            self.with_switch,
            self.with_combiner,
        )
        made = self.rng.choice(kinds)(base)
        return self.near_the_fault_current(made)

    def near_the_fault_current(self, home: Home) -> Home:
        """A main breaker of the next standard interrupting rating, above or below what is available."""
        _, most = fault_bounds_ka(home)
        rating = self.rng.choice([each for each in (10.0, 14.0, 22.0) if each >= most] or [22.0]) if self.chance(0.8) else 10.0
        main = replace(home.panel.main, interrupting_ka=rating) if home.panel.main else None
        return replace(home, panel=replace(home.panel, main=main))

    def with_load_side(self, home: Home) -> Home:
        return replace(home, panel=self.load_side(home.panel, self.rng.choice((1, 2, 2))))

    def with_supply_side(self, home: Home) -> Home:
        ahead = []
        for number in range(1, self.rng.choice((1, 2, 2)) + 1):
            source = replace(self.inverter(f"INV{number}", 0, self.rng.choice((32.0, 48.0, 72.0))), limit_a=None)
            run = Run("RMC", "1", 4, "outdoors", 36)
            size = self.neighbor(
                smallest_size(Wire("6", run), source.device.rating, self.edition, need_125=current(source) * Fraction(5, 4))
            )
            switch = next(rating for rating in (30, 60, 100, 200) if rating >= source.device.rating or self.chance(0.1))
            ahead.append(SupplySide(source, switch, Wire(size, run, neutral=size)))
        lateral = home.service.lateral
        weaker = self.rng.choice(("1/0", "2/0")) if self.chance(0.4) else home.service.entrance.size
        entrance = replace(home.service.entrance, size=weaker)
        lateral, entrance = (lateral, entrance) if self.chance() else (replace(lateral, size=weaker), replace(entrance, size=lateral.size))
        return replace(home, supply_side=tuple(ahead), service=replace(home.service, lateral=lateral, entrance=entrance))

    def feeder_wire(self, device: float, run: Run) -> Wire:
        """Feeder conductors, in a third of the homes larger than needed, with the grounding conductor due or a smaller one."""
        wire = Wire("6", run)
        size = self.neighbor(smallest_size(wire, device, self.edition))
        if self.chance(0.35):
            size = SIZES[min(SIZES.index(size) + self.rng.choice((1, 2, 3)), len(SIZES) - 1)]
        wire = replace(wire, size=size, neutral=self.rng.choice((size, size, self.neighbor(grounding_size(device)))))
        ground = self.neighbor(increased_grounding_size(wire, device, self.edition), 0.3)
        return self.fitting(replace(wire, ground=ground))

    def with_feeder(self, home: Home) -> Home:
        device = Device(self.rng.choice((60, 100)))
        main = self.rng.choice((None, Device(60), Device(100), Device(125)))
        sub = Panel("SUB", self.rng.choice((60, 100, 125)), main, spaces=20)
        if self.chance(0.6):
            limit = self.rng.choice((max((1.2 * sub.busbar - device.rating) / 1.25, 12.0), device.rating / 1.25))
            sub = replace(sub, sources=(self.inverter("INV1", 17, limit),))
        outbuilding = self.chance(0.4)
        run = Run("PVC-40", "1-1/4", 60, "underground", 30) if outbuilding else Run("EMT", "1-1/4", 30, "indoors", 30)
        wire = self.feeder_wire(device.rating, run)
        feeder = Feeder("F1", device, wire, sub, 37, outbuilding, self.rng.choice(("8", "6")) if outbuilding else None)
        panel = replace(home.panel, supply_end="top")
        if self.chance(0.4) and sub.sources:
            panel = replace(panel, sources=(self.branch("PV2", self.rng.choice((38, 1))),))
        return replace(home, panel=panel, feeders=(feeder,))

    def with_standby(self, home: Home) -> Home:
        made = []
        for number in range(1, self.rng.choice((1, 1, 2)) + 1):
            feeder_device = Device(self.rng.choice((60, 80, 100)))
            rating = self.rng.choice((60, 70, 90, 100))
            output = self.near(rating / 1.02, 1) if self.chance(0.5) else round(rating * 0.9, 1)
            larger = max(rating, feeder_device.rating)
            panel = Panel(f"EMP{number}", self.rng.choice((100, 125)), None, spaces=20)
            feeder = Feeder(
                f"F{number}",
                feeder_device,
                self.feeder_wire(feeder_device.rating, Run("EMT", "1-1/4", 30, "indoors", 30)),
                panel,
                2 * number,
            )
            load = self.feeder_wire(larger, Run("EMT", "1-1/4", 4, "indoors", 30))
            if self.chance():
                load = replace(load, ground=min(grounding_size(feeder_device.rating), load.size, key=SIZES.index))
            run = Run("PVC-40", "1-1/4", 32, "underground", 30)
            size = next(size for size in SIZES if ampacity(Wire(size, run), self.edition) >= exact(output) * Fraction(23, 20))
            size = self.neighbor(size)
            wire = Wire(size, run, neutral=self.rng.choice((size, size, "14")), ground=self.neighbor(grounding_size(rating), 0.2))
            generator = Generator(f"GEN{number}", output, Device(rating, 1 if self.chance(0.1) else 2), self.fitting(wire), self.chance())
            made.append(Standby(number, feeder, self.rng.choice((100, 100, 60)), load, generator, self.near(output * 240, 0)))
        return replace(home, standby=tuple(made), existing=False, service=replace(home.service, measured_peak_a=None))

    def with_inlet(self, home: Home) -> Home:
        rating = self.rng.choice((30.0, 50.0))
        size = self.neighbor({30.0: "10", 50.0: "6"}[rating], 0.2)
        wire = Wire(size, Run("EMT", "1", 10, "outdoors", 30), neutral=self.rng.choice((size, size, "14")), ground="10", terminal_c=60)
        device = Device(rating, marked_line_and_load=self.chance(0.2), fastened=not self.chance(0.2))
        return replace(home, inlet=Inlet(rating, device, wire), panel=replace(home.panel, supply_end="top"))

    def with_switch(self, home: Home) -> Home:
        main = home.panel.main.rating if home.panel.main else 200
        switch = Switch(
            self.rng.choice((main, main, 100)),
            self.rng.choice((240, 240, 240, 24)),
            Device(main),
            self.feeder_wire(main, Run("EMT", "2", 20, "indoors", 30)),
        )
        return replace(self.with_load_side(home), switch=switch)

    def with_island(self, home: Home) -> Home:
        count = self.rng.choice((1, 2, 2))
        batteries = tuple(self.battery(f"ESS{number}", 0, self.place) for number in range(1, count + 1))
        if self.chance(0.3):
            batteries = (replace(batteries[0], device=replace(batteries[0].device, fastened=False)), *batteries[1:])
        pv = replace(self.inverter("INV1", 0), limit_a=None, interactive_listed=True)
        load_device = Device(self.rng.choice((60, 100))) if self.chance() else None
        wire = self.feeder_wire(load_device.rating if load_device else 200, Run("EMT", "2", 26, "indoors", 30))
        wire = replace(wire, size=self.neighbor(wire.size))
        main = Device(200, 1 if self.chance(0.1) else 2)
        panel = Panel("HP", self.rng.choice((125, 200)), Device(self.rng.choice((100, 125, 200))))
        listing = (200.0, 200.0) if self.chance(0.2) else None
        return replace(home, island=Island(main, self.rng.choice((200, 200, 100)), batteries, pv, wire, panel, load_device, listing))

    def with_combiner(self, home: Home) -> Home:
        branches = tuple(replace(self.branch(f"PV{number}", number), largest_units=20) for number in (1, 2))
        amperes = sum((current(branch) for branch in branches), Fraction(0))
        device = self.device(amperes * Fraction(5, 4))
        combiner = Source("K1", "combiner", 0.0, device, self.wire(amperes, device.rating, (75,)), 37, branches=branches)
        return replace(home, panel=replace(home.panel, sources=(combiner,), supply_end="top"))


def home_of(seed: int) -> Home:
    """The home of a seed."""
    return Maker(seed).home(f"home {seed}")
