"""Topologies with a few keys changed, which differ from them in what a shutdown must do; each a call of ``evaluated``."""

_NO_INITIATOR = {"equipment.PVD.role": ["service equipment"]}
_SWITCH = {"kind": "disconnect", "purpose": "energy storage", "name": "Battery disconnect", "rating": "60 A", "role": ["service equipment"]}
_SWITCH |= {"device": {"kind": "fuse", "rating": "40 A", "poles": "2", "interrupting_rating": "100 kA"}, "poles": "2", "load_break": "yes"}
_SWITCH |= {"place": {"description": "garage, east wall, by the tap box", "building": "garage", "outdoors": "yes"}}
_BATTERY = {"kind": "energy_storage_system", "name": "Battery", "coupling": "ac", "output": "32 A", "energy": "10 kWh", "disconnect": "no"}
_BATTERY |= {"functions": ["interactive"], "place": {"description": "garage, east wall inside", "building": "garage", "outdoors": "no"}}
_WIRES = {"size": "8 AWG", "insulation": "THWN-2", "neutral": "no"}
_BATTERY_AHEAD = {
    "equipment.ESD": _SWITCH,
    "equipment.ESS1": _BATTERY,
    "circuits.T2": {"name": "Battery tap", "from": "JT", "to": "ESD.line", "runs": "R6", "conductors": _WIRES},
    "circuits.C2": {"name": "Battery output", "from": "ESS1", "to": "ESD.load", "runs": "R7", "conductors": dict(_WIRES)},
}
_SHUTDOWN_SWITCH = {"kind": "rapid_shutdown_initiator", "name": "Rapid shutdown switch", "shuts_down": ["PV1"]}
_SHUTDOWN_SWITCH |= {"place": {"description": "garage, east wall, left of the meter", "building": "garage", "outdoors": "yes"}}
_TOLD_BY_BREAKERS = "all_breakers_in_file"

VARIANTS = {
    "b02, no initiator ahead of the main": {"name": "b02_pv_supply_side", "changed": _NO_INITIATOR},
    "b02, a shutdown switch of its own": {"name": "b02_pv_supply_side", "changed": _NO_INITIATOR | {"equipment.RSI": _SHUTDOWN_SWITCH}},
    "b02, array on a carport": {
        "name": "b02_pv_supply_side",
        "changed": _NO_INITIATOR | {"equipment.PV1.unenclosed_structure": "yes"},
    },
    "b02, battery ahead of the main": {"name": "b02_pv_supply_side", "changed": _BATTERY_AHEAD},
    "b02, battery and array ahead of the main": {"name": "b02_pv_supply_side", "changed": _BATTERY_AHEAD | _NO_INITIATOR},
    "b01, combiner told by its breakers": {
        "name": "b01_pv_load_side",
        "without": ("equipment.PVC.role",),
        "changed": {f"equipment.PVC.{_TOLD_BY_BREAKERS}": "yes", "equipment.MSP.role": ["service equipment"]},
    },
    "b10, combiner told by its breakers": {
        "name": "b10_battery_combining_panel",
        "without": ("equipment.ECP.role",),
        "changed": {f"equipment.ECP.{_TOLD_BY_BREAKERS}": "yes", "equipment.RSI.also_stops": []},
    },
}
