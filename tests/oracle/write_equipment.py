"""Entries of the project file for one piece of equipment: sources, modules, devices, terminals and places; the site's climate."""

from __future__ import annotations

from typing import Any

from tests.oracle.home import DESIGN_HIGH_C, Device, Generator, Source

Entry = dict[str, Any]
DRAWN = {"dedicated_space": "clear", "readily_accessible": "yes"}
OUTSIDE = {"description": "garage, east wall", "building": "house", "space": "outside wall", "outdoors": "yes", "readily_accessible": "yes"}
SPACES = {"garage": "garage", "utility room": "utility room", "basement": "basement", "outside wall": "outside wall", "ground": "ground"}


def climate(lowest_c: float) -> Entry:
    high = f"{DESIGN_HIGH_C:g} °C"
    return {"record_low": f"{lowest_c:g} °C", "design_high": high, "ground": "20 °C", "source": "station, invented"}


def size(name: str) -> str:
    return f"{name} kcmil" if name.isdigit() and int(name) >= 250 else f"{name} AWG"


def terminal(celsius: int = 75, **more: Any) -> Entry:
    wire = "14 AWG to 500 kcmil"
    return {"wire": wire, "materials": ["Cu", "Al"], "conductors": 1, "temperature": f"{celsius} °C", "torque": "50 lbf-in", **more}


def device(of: Device, **more: Any) -> Entry:
    return {
        "rating": f"{of.rating:g} A",
        "poles": of.poles,
        "interrupting_rating": f"{of.interrupting_ka:g} kA",
        "marked_line_and_load": "yes" if of.marked_line_and_load else "no",
        "fastened": "yes" if of.fastened else "no",
        "voltage": "120/240 V",
        **more,
    }


def place(**more: Any) -> Entry:
    clear = {"clear_depth": "72 in", "clear_width": "36 in", "clear_height": "8 ft", "handle_height": "60 in"}
    return {**OUTSIDE, **DRAWN, **clear, "faces": "east", **more}


def module(voc: float, isc: float, coefficient: float, fuse: float) -> Entry:
    return {
        "kind": "module",
        "power": "400 W",
        "voc": f"{voc:g} V",
        "isc": f"{isc:g} A",
        "vmp": f"{voc * 0.83:.2f} V",
        "imp": f"{isc * 0.95:.2f} A",
        "voc_coefficient": f"{coefficient:g} %/°C",
        "largest_series_fuse": f"{fuse:g} A",
        "system_voltage": "1000 V",
        "crystalline_silicon": "yes",
    }


def array(more: Entry) -> Entry:
    return {
        "kind": "pv_array",
        "on_building": "house",
        "fire_class": "A",
        "modules_per_shutdown_unit": 1,
        "rapid_shutdown_listed": "yes",
        "bonded_by_listed_parts": "yes",
        "place": {"description": "house roof", "building": "house", "space": "roof", "outdoors": "yes"},
        **more,
    }


def module_inverter(of: Source) -> Entry:
    """The units of a microinverter branch."""
    return {
        "kind": "module_inverter",
        "output": f"{of.unit_a:g} A",
        "ac_voltage": "240 V",
        "largest_dc_input": "60 V",
        "largest_branch_device": f"{of.largest_device:g} A",
        "largest_units_per_branch": of.largest_units,
        "fault_current": f"{of.unit_a * 1.2:.2f} A",
        "ac_module": "no",
        "interactive_listed": "yes" if of.interactive_listed else "no",
        "arc_fault_protection": "yes",
        "ground_fault_protection": "yes",
    }


def battery(of: Source, *, behind_island: bool) -> Entry:
    """A battery unit with an ac output."""
    entry: Entry = {
        "kind": "energy_storage_system",
        "enclosure_type": "3R",
        "functions": ["interactive", "multimode"] if behind_island else ["interactive"],
        "output": f"{of.unit_a:g} A",
        "ac_voltage": "240 V",
        "charge_current": f"{of.unit_a:g} A",
        "chemistry": "lithium iron phosphate",
        "coupling": "ac",
        "disconnect": "yes",
        "listed_system": "yes",
        "interactive_listed": "yes" if of.interactive_listed else "no",
        "largest_device": f"{of.largest_device:g} A",
        "fault_current": f"{of.unit_a * 1.5:g} A",
        "terminals": {"output": terminal(of.wire.terminal_c)},
    }
    if of.limit_a is not None:
        entry["power_control_limit"] = f"{of.limit_a:g} A"
    at = place(clear_width=f"{of.clear_width_in:g} in", opposite="insulated")
    if of.siting:
        entry |= {"energy": f"{of.siting.energy_kwh:g} kWh", "listed_spacing": f"{of.siting.listed_spacing_ft:g} ft"}
        at |= {
            "space": SPACES[of.siting.place],
            "outdoors": "yes" if of.siting.place in {"outside wall", "ground"} else "no",
            "to_next_unit": f"{of.siting.to_next_ft:g} ft",
            "to_door_or_window": f"{of.siting.to_opening_ft:g} ft",
            "vehicle_protection": "bollard",
            "fire_detection": "smoke alarm",
        }
    return {**entry, "place": at}


def inverter(of: Source) -> Entry:
    """A string inverter without its strings."""
    entry: Entry = {
        "kind": "inverter",
        "energy": "photovoltaic",
        "enclosure_type": "3R",
        "functions": ["interactive"],
        "output": f"{of.unit_a:g} A",
        "ac_voltage": "240 V",
        "dc_grounding": "functionally grounded",
        "interactive_listed": "yes" if of.interactive_listed else "no",
        "largest_device": f"{of.largest_device:g} A",
        "fault_current": f"{of.unit_a * 1.2:g} A",
        "dc_backfeed": "0 A",
        "dc_disconnect": "yes",
        "arc_fault_protection": "yes",
        "ground_fault_protection": "yes",
        "terminals": {"ac": terminal(of.wire.terminal_c)},
        "place": place(clear_width=f"{of.clear_width_in:g} in", opposite="insulated"),
    }
    if of.limit_a is not None:
        entry["power_control_limit"] = f"{of.limit_a:g} A"
    return entry


def transfer_switch(rating: float) -> Entry:
    """An automatic transfer switch of two poles."""
    return {
        "kind": "transfer_switch",
        "listed_as": ["transfer equipment"],
        "neutral_bond": "none possible",
        "enclosure_type": "3R",
        "rating": f"{rating:g} A",
        "switches_neutral": "no",
        "automatic": "yes",
        "interlocked": "yes",
        "poles": 2,
        "short_circuit_rating": "22 kA",
        "terminals": {"normal": terminal(), "alternate": terminal(), "load": terminal()},
        "place": place(),
    }


def generator(made: Generator) -> Entry:
    """A standby generator with a breaker of its own."""
    return {
        "kind": "generator",
        "enclosure_type": "3R",
        "output": f"{made.output_a:g} A",
        "ac_voltage": "240 V",
        "output_power": f"{made.output_a * 0.24:.4g} kW",
        "breaker": device(made.device),
        "overload_protected": "yes" if made.overload_protected else "no",
        "subtransient_reactance": "15 %",
        "outside_stop": "yes",
        "stop_needs_reset": "yes",
        "disconnect": "yes",
        "disconnect_lockable": "yes",
        "disconnect_inside_housing": "no",
        "in_parallel_listed": "no",
        "neutral_bond": "removed",
        "terminals": {"output": terminal(made.wire.terminal_c)},
        "place": place(space="ground", to_door_or_window="10 ft", in_sight_of=["house"]),
    }


def disconnect(rating: float, of: Device, purpose: str, fuse: Entry) -> Entry:
    """A disconnect that is service equipment, with its device inside and a neutral bond."""
    return {
        "kind": "disconnect",
        "role": ["service equipment"],
        "listed_as": ["service equipment"],
        "purpose": purpose,
        "enclosure_type": "3R",
        "rating": f"{rating:g} A",
        "device": fuse,
        "poles": of.poles,
        "load_break": "yes",
        "lockable": "yes",
        "shows_off_and_on": "yes",
        "voltage": "240 V",
        "short_circuit_rating": "100 kA",
        "neutral_bond": "installed",
        "terminals": {"line": terminal(), "load": terminal()},
        "place": place(),
    }
