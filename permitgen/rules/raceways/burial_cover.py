"""Underground wiring lies deep enough for what is over it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, at_least, at_most, does_not_apply, not_judged, require_at_least
from permitgen.rules.quantities.building_use import is_dwelling_at
from permitgen.rules.quantities.circuit_current import circuit_volts, role
from permitgen.rules.quantities.protection import devices_protecting
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.raceway import Raceway

_ROWS = {
    "open ground": "all not listed below",
    "concrete in trench": "in trench below 2 in of concrete",
    "building": "under a building",
    "slab": "under at least 4 in concrete slab without vehicles extending 6 in beyond",
    "street": "under streets or alleys or parking lots",
    "driveway": "one- and two-family dwelling driveways and parking",
}
_SHALLOW = "residential_branch_circuit"
_METAL = ("RMC", "IMC")
_NONMETALLIC = ("PVC-40", "PVC-80", "LFNC-B")


@rule("burial-cover", title="Underground wiring lies deep enough for what is over it", provision="burial_cover", judges="raceway")
def judge(raceway: Raceway, given: Given) -> Judgement:
    """Judge the cover over one buried run by wiring method and surface.

    Requires: cover ≥ table value. The column of residential branch circuits counts where every circuit in the run is said to be one:
        at a dwelling, 120 V and 20 A at most, with ground-fault protection; the low-voltage column is not used here.
    Why: spades and tent pegs go down that far.
    Applies to: buried runs with power or Class 1 wiring; Class 2 wiring has its own rule.
    Example that fails: PVC with 17 in of cover under a lawn, 18 in asked.
    Example that passes: PVC with 18 in.
    """
    if not raceway.buried:
        return does_not_apply(f"{raceway.tag} is not buried")
    controls = [control for control in given.system.controls.values() if raceway.tag in control.runs]
    if not given.system.circuits_in_run[raceway.tag] and all(control.source_class == "2" for control in controls):
        return does_not_apply(f"{raceway.tag} holds no power wiring (see control-burial)")
    cover = given.need(raceway.cover_in, f"cover of {raceway.tag}")
    table = given.table("burial_cover")
    column = _column(raceway)
    if raceway.surface:
        needed = table.at(_ROWS[raceway.surface], column)
        if not at_least(cover, needed) and not controls and _is_residential_branch(given, raceway):
            needed = min(needed, table.at(_ROWS[raceway.surface], _SHALLOW), key=lambda value: value.number)
        where = raceway.surface
    else:
        needed = max((table.at(row, column) for row in _ROWS.values()), key=lambda value: value.number)
        where = "any surface"
        if not at_least(cover, needed):
            return not_judged(f"what is over {raceway.tag}: lawn, driveway, street, slab")
    return require_at_least(
        f"{raceway.tag}: {cover.length} of cover over {raceway.kind}, {needed.length} asked under {where}",
        computed=cover,
        limit=needed.named("h_min", f"cover over {raceway.kind} under {where}"),
    )


def _is_residential_branch(given: Given, raceway: Raceway) -> bool:
    """Whether every circuit in a run is known to be a protected residential branch circuit of small rating."""
    circuits = [given.system.circuits[tag] for tag in given.system.circuits_in_run[raceway.tag]]
    return bool(circuits) and all(_is_protected_branch(given, circuit) for circuit in circuits)


def _is_protected_branch(given: Given, circuit: Circuit) -> bool:
    provision = given.provision("burial_residential_branch")
    if circuit.is_dc or role(given, circuit) is not CircuitRole.BRANCH:
        return False
    if not at_most(circuit_volts(given, circuit), provision.value("largest_v")):
        return False
    devices = [found.device for found in devices_protecting(given, circuit)]
    small = [d for d in devices if d.rating_a is not None and at_most(d.rating_a, provision.value("largest_a"))]
    if not devices or len(small) != len(devices) or not all(d.answer("ground_fault_protection") for d in devices):
        return False
    place = given.system.equipment[circuit.start.tag].place
    return place is not None and bool(is_dwelling_at(given, place.building))


def _column(raceway: Raceway) -> str:
    if raceway.kind in _METAL:
        return "rigid_or_intermediate_metal"
    return "nonmetallic_raceway" if raceway.kind in _NONMETALLIC else "direct_burial"
