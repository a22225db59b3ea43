"""Write a home as a project file. With its entries of equipment the only place of the oracle that knows the file's format."""

from __future__ import annotations

from typing import Any

import yaml

from tests.oracle.home import Device, Feeder, Home, Inlet, Island, Panel, Source, Standby, Strings, SupplySide, Switch, Wire
from tests.oracle.write_equipment import (
    Entry,
    array,
    battery,
    climate,
    device,
    disconnect,
    generator,
    inverter,
    module,
    module_inverter,
    place,
    size,
    terminal,
    transfer_switch,
)


def circuit_name(source: Source) -> str:
    return f"C{source.name}"


def device_names(home: Home) -> dict[str, str]:
    """How findings name the device of each source: its breaker's position, its terminal at an interconnect device, or its switch."""
    panels = [home.panel, *(feeder.panel for feeder in home.feeders)]
    names = {source.name: f"{panel.name}.{source.space}" for panel in panels for source in panel.sources}
    for panel in panels:
        for source in panel.sources:
            names |= {branch.name: f"{source.name}.{number}" for number, branch in enumerate(source.branches, 1)}
    names |= {each.source.name: f"SW{each.source.name}" for each in home.supply_side}
    if home.island:
        names |= {unit.name: f"MID.BAT{number}" for number, unit in enumerate(home.island.batteries, 1)}
        names |= {home.island.pv.name: "MID.PV"} if home.island.pv else {}
    return names


def branch_subject(source: Source) -> str:
    """How findings name the units of a microinverter branch."""
    return f"{source.name}.A"


class ProjectFile:
    """A project file in the making: equipment, raceways and circuits of one home."""

    def __init__(self, home: Home) -> None:
        self.home = home
        self.catalog: Entry = {}
        self.equipment: Entry = {}
        self.raceways: Entry = {}
        self.circuits: Entry = {}
        self.loads: Entry = {}

    def text(self) -> str:
        """The YAML text."""
        home = self.home
        self._service()
        for feeder in home.feeders:
            self._feeder(feeder)
        for each in home.standby:
            self._standby(each)
        if home.inlet:
            self._inlet(home.inlet)
        for number, load in enumerate(home.loads, 1):
            leg = "both" if load.both_legs else ("L1" if number % 2 else "L2")
            panel = home.island.panel.name if home.island else home.panel.name
            entry = {
                "name": f"{load.category.title()} {number}",
                "panel": panel,
                "category": load.category,
                "power": f"{load.va / 1000:g} kW",
            }
            self.loads[f"L{number}"] = {**entry, "leg": leg}
        site: Entry = {
            "dwelling": "one-family",
            "floor_area": f"{home.floor_area_ft2:g} ft²",
            "small_appliance_circuits": 2,
            "laundry_circuits": 1,
            "existing_dwelling": "yes" if home.existing else "no",
            "climate": climate(home.lowest_c),
        }
        if home.service.measured_peak_a is not None:
            peak = f"{home.service.measured_peak_a:g} A"
            site["measured_demand"] = {"peak": peak, "record": "one year", "sources_connected": "no", "source": "utility"}
        if any(feeder.outbuilding for feeder in home.feeders):
            house = {"outline": [[10, 10], [50, 10], [50, 40], [10, 40]], "label": "HOUSE", "dwelling": "yes"}
            workshop = {"outline": [[70, 50], [90, 50], [90, 70], [70, 70]], "label": "WORKSHOP", "dwelling": "no"}
            lot = [[0, 0], [100, 0], [100, 100], [0, 100]]
            site["plan"] = {"lot": lot, "buildings": {"house": house, "workshop": workshop}}
        document = {
            "project": {"name": home.name},
            "jurisdiction": {
                "name": "Tarnmoor",
                "edition": home.edition,
                "fire_code": "IRC 2021",
                "options": {"backup_capacity_basis": "largest load"},
            },
            "site": site,
            "catalog": self.catalog,
            "equipment": self.equipment,
            "raceways": self.raceways,
            "circuits": self.circuits,
            "loads": self.loads,
        }
        return yaml.safe_dump({key: value for key, value in document.items() if value}, sort_keys=False, allow_unicode=True, width=1000)

    def wire(self, of: Wire, name: str, *, dc: bool = False) -> Entry:
        """Raceway and conductors of a circuit; the raceway takes the circuit's name."""
        run = of.run
        entry: Entry = {
            "kind": run.kind,
            "trade_size": f"{run.trade_size} in",
            "length": f"{run.length_ft:g} ft",
            "place": run.place,
            "ambient": f"{run.ambient_c:g} °C",
            "building": "house",
        }
        if run.above_roof_in is not None:
            entry["above_roof"] = f"{run.above_roof_in:g} in"
        if run.place == "underground":
            entry |= {"cover": f"{run.cover_in:g} in", "surface": "open ground", "riser": "PVC-80"}
        if run.others:
            entry["other_current_carrying"] = run.others
        if run.kind in {"EMT", "RMC"}:
            entry["bonding"] = "threaded hubs" if run.kind == "RMC" else "bonding locknut"
        self.raceways[f"R{name}"] = entry
        conductors: Entry = {"size": size(of.size), "material": of.material, "insulation": of.insulation, "ungrounded": 2}
        conductors["neutral"] = size(of.neutral) if of.neutral else "no"
        if of.ground:
            conductors["equipment_ground"] = size(of.ground)
        elif run.kind in {"EMT", "RMC", "IMC"}:
            conductors["equipment_ground_by_raceway"] = "yes"
        return {"runs": f"R{name}", "conductors": conductors}

    def circuit(self, name: str, start: str, finish: str, wire: Wire, **more: Any) -> None:
        made = self.wire(wire, name)
        self.circuits[name] = {"from": start, "to": finish, **made, **more}

    def panel(self, of: Panel, *, is_service: bool = False, name: str = "", building: str = "house", **more: Any) -> None:
        name = name or of.name
        at = place(
            clear_depth=f"{of.clear_depth_in:g} in",
            clear_width=f"{of.clear_width_in:g} in",
            handle_height=f"{of.grip_in:g} in",
            building=building,
            dedicated_space="clear" if of.dedicated_clear else "obstructed",
        )
        entry: Entry = {
            "kind": "panelboard",
            "enclosure_type": "3R",
            "busbar": f"{of.busbar:g} A",
            "supply_end": of.supply_end,
            "spaces": of.spaces,
            "largest_breaker": "225 A",
            "short_circuit_rating": f"{of.short_circuit_ka:g} kA",
            "neutral_bond": "installed" if is_service else "removed",
            "listed_as": ["service equipment"],
            "all_breakers_in_file": "no",
            "terminals": {"main": terminal(), "breaker": terminal()},
            "place": at,
        }
        entry |= {"main": device(of.main)} if of.main else {"main_lugs_only": "yes"}
        if is_service:
            entry["role"] = ["service equipment"]
        self.equipment[name] = entry | more
        told = set(self.equipment)
        for source in of.sources:
            self.source(source, f"{name}.{source.space}")
        for new in set(self.equipment) - told:  # sources stand in the building of their panel
            made = self.equipment[new]
            made["place"]["building"] = building
            if "on_building" in made:
                made["on_building"] = building

    def source(self, of: Source, finish: str, *, has_device: bool = True) -> None:
        """The equipment of a source and its circuit to a breaker, or to a switch that holds its fuses."""
        name = circuit_name(of)
        protected = {"overcurrent": {"to_end": device(of.device)}} if has_device else {}
        if of.kind == "combiner":
            lugs = Panel(of.name, 125, None, spaces=12)
            self.panel(lugs, role=["pv combiner"], neutral_bond="none possible")
            for number, branch in enumerate(of.branches, 1):
                self.source(branch, f"{of.name}.{number}")
            self.circuit(name, f"{of.name}.main", finish, of.wire, **protected)
        elif of.kind == "branch":
            self._branch(of)
            self.circuit(name, f"{of.name}.A", finish, of.wire, **protected)
        elif of.kind == "battery":
            self.equipment[of.name] = battery(of, behind_island=self.home.island is not None)
            self.circuit(name, f"{of.name}.output", finish, of.wire, **protected)
        else:
            self.equipment[of.name] = inverter(of)
            if of.strings:
                self._strings(of.name, of.strings, self.equipment[of.name])
            self.circuit(name, f"{of.name}.ac", finish, of.wire, **protected)

    def _branch(self, of: Source) -> None:
        name = of.name.lower()
        self.catalog[f"module-{name}"] = module(40, 12, -0.3, 20)
        self.catalog[f"unit-{name}"] = module_inverter(of)
        units = {"module": f"module-{name}", "module_inverter": f"unit-{name}", "modules": of.units, "branches": {"A": of.units}}
        self.equipment[of.name] = array(units)

    def _strings(self, name: str, of: Strings, entry: Entry) -> None:
        entry |= {"largest_dc_input": f"{of.largest_input_v:g} V", "largest_input_current": f"{of.largest_input_a:g} A"}
        self.catalog[f"module-{name.lower()}"] = module(of.voc, of.isc, of.coefficient, of.largest_fuse)
        letters = "ABCD"[: of.count]
        modules = {"module": f"module-{name.lower()}", "modules": of.count * of.modules, "strings": dict.fromkeys(letters, of.modules)}
        self.equipment[f"A{name}"] = array(modules) | {"shutdown_voltage": "1 V"}
        for number, letter in enumerate(letters, 1):
            entry["terminals"][f"mppt{number}"] = terminal(of.wire.terminal_c)
            made = self.wire(of.wire, f"D{name}")
            if letter != "A":
                made["conductors"].pop("equipment_ground", None)
                made["conductors"]["equipment_ground_shared_with"] = f"D{name}A"
            self.circuits[f"D{name}{letter}"] = {"from": f"A{name}.{letter}", "to": f"{name}.mppt{number}", **made}

    def _service(self) -> None:
        home = self.home
        service = home.service
        utility = {
            "kind": "utility_service",
            "voltage": "120/240 V",
            "fault_current_source": "utility letter",
            "place": {"description": "lot line", "outdoors": "yes"},
        }
        self.equipment["UTIL"] = utility | {"available_fault_current": f"{service.fault_ka:g} kA"}
        terminals = {"line": terminal(service.meter_line_c), "load": terminal()}
        self.equipment["MTR"] = {
            "kind": "meter",
            "enclosure_type": "3R",
            "short_circuit_rating": "65 kA",
            "terminals": terminals,
            "place": place(),
        }
        self.circuit("S1", "UTIL", "MTR.line", service.lateral)
        start = "MTR.load"
        if home.supply_side:
            box = {
                "kind": "junction_box",
                "line_side_connectors": "marked for the line side",
                "enclosure_type": "3R",
                "splices_listed_for": "copper and aluminum",
            }
            self.equipment["JT"] = {**box, "pull": "splice", "width": "24 in", "height": "24 in", "depth": "8 in", "place": place()}
            self.circuit("S2", start, "JT", service.entrance)
            start = "JT"
            for each in home.supply_side:
                self._supply_side(each)
        lands = home.panel.name
        last = "S3" if home.supply_side else "S2"
        if home.island:
            self._island(home.island, start, last)
            lands = "MID"
        elif home.switch:
            self._switch(home.switch, start, last)
            lands = "SW"
        else:
            self.panel(home.panel, is_service=True, poles_in_use=30)
            self.circuit(last, start, f"{home.panel.name}.main", service.entrance)
        electrodes: Entry = {
            "kind": "grounding_electrode_system",
            "electrodes": list(service.electrodes),
            "second_rod": "yes",
            "conductor": size(service.electrode_conductor),
            "intersystem_terminals": 3,
            "water_piping_bonded": "yes",
            "gas_piping_bonded": "yes",
            "lands_at": lands,
        }
        electrodes |= {"bonding_jumper": size(service.bonding_jumper)} if service.bonding_jumper else {"factory_bonding_jumper": "yes"}
        self.equipment["GES"] = electrodes

    def _switch(self, of: Switch, start: str, last: str) -> None:
        fused = disconnect(of.rating, of.device, "service", device(of.device))
        self.equipment["SW"] = {**fused, "voltage": f"{of.voltage:g} V", "short_circuit_rating": "22 kA"}
        self.circuit(last, start, "SW.line", self.home.service.entrance)
        self.panel(self.home.panel, poles_in_use=30)
        self.circuit("FSW", "SW.load", f"{self.home.panel.name}.main", of.wire)

    def _supply_side(self, of: SupplySide) -> None:
        name = f"SW{of.source.name}"
        fuse = device(of.source.device, kind="fuse", voltage="240 V")
        entry = disconnect(of.switch_a, of.source.device, "pv system", fuse)
        terminals = {"line": terminal(of.tap.terminal_c), "load": terminal(of.source.wire.terminal_c)}
        self.equipment[name] = {**entry, "grounding_electrode_conductor": "6 AWG", "terminals": terminals}
        self.circuit(f"T{of.source.name}", "JT", f"{name}.line", of.tap, tap_length=f"{of.tap.run.length_ft:g} ft")
        self.source(of.source, f"{name}.load", has_device=False)

    def _feeder(self, of: Feeder) -> None:
        building = "workshop" if of.outbuilding else "house"
        self.panel(of.panel, building=building, poles_in_use=6)
        if of.outbuilding and of.electrode_conductor:
            electrodes = {
                "kind": "grounding_electrode_system",
                "electrodes": ["water pipe", "ground rod"],
                "second_rod": "yes",
                "intersystem_terminals": 3,
            }
            self.equipment[f"GES{of.name}"] = {**electrodes, "conductor": size(of.electrode_conductor), "lands_at": of.panel.name}
        entry = {"overcurrent": {"from_end": device(of.device)}, "reason_for_increase": "voltage drop"}
        self.circuit(of.name, f"{self.home.panel.name}.{of.space}", f"{of.panel.name}.main", of.wire, **entry)

    def _standby(self, of: Standby) -> None:
        switch = f"ATS{of.number}"
        self.equipment[switch] = transfer_switch(of.switch_a)
        feeder = of.feeder
        entry = {"overcurrent": {"from_end": device(feeder.device)}}
        self.circuit(feeder.name, f"{self.home.panel.name}.{feeder.space}", f"{switch}.normal", feeder.wire, **entry)
        self.panel(feeder.panel, poles_in_use=6)
        self.circuit(f"{feeder.name}L", f"{switch}.load", f"{feeder.panel.name}.main", of.load_wire)
        self.loads[f"LS{of.number}"] = {
            "name": f"Lighting {of.number}",
            "panel": feeder.panel.name,
            "category": "fixed appliance",
            "power": f"{of.load_va / 1000:g} kW",
            "leg": "both",
        }
        made = of.generator
        self.equipment[made.name] = generator(made)
        self.circuit(f"C{made.name}", made.name, f"{switch}.alternate", made.wire)

    def _inlet(self, of: Inlet) -> None:
        self.equipment[self.home.panel.name]["interlocked_breaker"] = 2
        pins = {"pins": terminal(of.wire.terminal_c)}
        inlet = {"kind": "power_inlet", "rating": f"{of.rating:g} A", "generator": "GENP", "male_contacts": "yes", "enclosure_type": "3R"}
        self.equipment["INL"] = {**inlet, "terminals": pins, "place": place()}
        self.equipment["GENP"] = {
            "kind": "generator",
            "portable": "yes",
            "output": f"{of.rating:g} A",
            "output_power": f"{of.rating * 0.24:.4g} kW",
            "ac_voltage": "240 V",
            "neutral_bond": "removed",
            "receptacles_protected": "yes",
            "place": {"description": "on the drive", "space": "ground", "outdoors": "yes", "to_door_or_window": "20 ft"},
        }
        self.circuit("CINL", "INL", f"{self.home.panel.name}.2", of.wire, overcurrent={"to_end": device(of.device)})

    def _island(self, of: Island, start: str, last: str) -> None:
        terminals: Entry = {"supply": terminal(), "load": terminal()}
        relay = 1
        for number, _ in enumerate(of.batteries, 1):
            terminals[f"BAT{number}"] = terminal(accepts="energy storage", relay=f"K{relay}", largest_device="80 A")
            relay += 1
        if of.pv:
            terminals["PV"] = terminal(accepts="photovoltaic", relay=f"K{relay}", largest_device="80 A")
        self.equipment["MID"] = {
            "kind": "microgrid_interconnect_device",
            "role": ["islanding", "service equipment"],
            "listed_as": ["microgrid interconnect device", "service equipment"],
            "enclosure_type": "3R",
            "main": device(of.main),
            "contactor_rating": "200 A",
            "contactor_poles": 2,
            "contactor_switches_neutral": "no",
            "contactor_short_circuit_rating": "22 kA",
            "short_circuit_rating": "22 kA",
            "busbar": f"{of.busbar:g} A",
            "supply_end": "top",
            "spaces": 8,
            "largest_breaker": "80 A",
            "neutral_bond": "installed",
            "autotransformer": {
                "neutral_current": "50 A",
                "peak_current": "100 A",
                "peak_time": "10 s",
                "breaker": device(Device(30)),
                "opens_together_with_sources": "yes",
            },
            "terminals": terminals,
            "place": place(),
        }
        if of.listing:
            limits = {"listed_supply": f"{of.listing[0]:g} A", "listed_sources": f"{of.listing[1]:g} A"}
            self.equipment["MID"] |= limits
        if of.load_device:
            self.equipment["MID"]["load_device"] = device(of.load_device)
        self.circuit(last, start, "MID.supply", self.home.service.entrance)
        self.panel(of.panel, poles_in_use=20)
        self.circuit("F1", "MID.load", f"{of.panel.name}.main", of.feeder_wire)
        for number, unit in enumerate(of.batteries, 1):
            self.source(unit, f"MID.BAT{number}")
        if of.pv:
            self.source(of.pv, "MID.PV")


def project_text(home: Home) -> str:
    """The project file of a home."""
    return ProjectFile(home).text()
