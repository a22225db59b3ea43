"""Topologies with a few keys changed, which differ from them in what a shutdown must do; each a call of ``evaluated``."""

_NO_INITIATOR = {"equipment.PVD.role": ["service equipment"]}
_TOLD_BY_BREAKERS = "all_breakers_in_file"

VARIANTS = {
    "b02, no initiator ahead of the main": {"name": "b02_pv_supply_side", "changed": _NO_INITIATOR},
    "b02, array on a carport": {
        "name": "b02_pv_supply_side",
        "changed": _NO_INITIATOR | {"equipment.PV1.unenclosed_structure": "yes"},
    },
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
