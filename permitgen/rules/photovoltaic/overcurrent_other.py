"""A PV circuit that its own strings can overload has devices at both ends, or at one where it is short or outside in metal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, any_of, at_most, does_not_apply, not_judged, require, require_at_most
from permitgen.rules.parts import parts_for, parts_of
from permitgen.rules.quantities.circuit_current import role, source_side
from permitgen.rules.quantities.conductor_ampacity import conductor_ampacity, runs_of
from permitgen.rules.quantities.length_of_ways import longest_way_ft
from permitgen.rules.quantities.pv_current import array_current
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.system.walks.in_series import first_device

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.installed_device import InstalledDevice
    from permitgen.system.raceway import Raceway


@rule(
    "pv-overcurrent-other",
    title="A PV circuit that its own strings can overload has devices at both ends, or at one where it is short or outside in metal",
    provision="pv_overcurrent_other_circuits",
    judges="circuit",
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the devices of a PV dc circuit whose conductors carry less than its strings can give together.

    Requires: a device at each end; or at one end of at most 10 ft, inside a building in raceway or metal-clad cable; or at one end of a
        circuit that stays off buildings in metal or underground, where that device is a disconnecting means outside.
    Why: a device at one end does not see what flows into a fault from the other.
    Applies to: PV dc circuits, from 2020 on; conductors that carry all that their strings give need no device.
    Example that fails: 10 AWG for three strings of 13.9 A behind a fuse at the combiner, 15 ft through the attic.
    Example that passes: 8 ft of it in EMT.
    """
    if role(given, circuit) is not CircuitRole.PV_DC:
        return does_not_apply(f"{circuit.tag} is no PV dc circuit")
    strings = [source for source in source_side(given, circuit).sources if source.kind == "photovoltaic" and not source.is_ac]
    current, _ = array_current(given, circuit.tag, strings)
    ampacity = conductor_ampacity(given, circuit).final_a
    if at_most(current, ampacity):
        return does_not_apply(f"{circuit.tag}: its conductors carry the {current.number:.4g} A that its strings give")
    what = f"{circuit.tag}: {current.number:.4g} A from its strings on conductors of {ampacity.number:.4g} A"
    found = {each.tag: each for end in ("start", "finish") if (each := first_device(given.system, circuit, end)) is not None}
    devices = list(found.values())
    if len(devices) != 1:
        ends = "at both ends" if devices else "at neither end"
        return require(fact=bool(devices), message=f"{what}, a device {ends}", values=(current, ampacity))
    ways = parts_of(lambda: _short(circuit, given), lambda: _outside(circuit, devices[0], given))
    return any_of(f"{what}, a device at one end ({devices[0].tag})", ways)


def _short(circuit: Circuit, given: Given) -> Judgement:
    length = longest_way_ft(given, circuit, f"length of {circuit.tag}")
    limit = given.provision("pv_overcurrent_other_circuits").value("longest_unprotected_ft").named("L_10")
    short = require_at_most(f"{length.length} long, {limit.length} permitted", computed=length, limit=limit)
    if not short.holds:
        return short
    return all_of(short.message, [short, *parts_for(runs_of(given, circuit), _enclosed)])


def _enclosed(run: Raceway) -> Judgement | None:
    """Judge a run of a short circuit: inside a building it is a raceway or metal-clad cable."""
    enclosed = run.is_filled or run.kind == "MC cable"
    if enclosed or not run.inside_building:
        return None
    return require(fact=False, message=f"{run.tag}: {run.kind} inside the building")


def _outside(circuit: Circuit, device: InstalledDevice, given: Given) -> Judgement:
    """Judge a circuit that stays off buildings; a device in a switch, or a breaker, is part of a disconnecting means."""
    parts = parts_for(runs_of(given, circuit), _off_buildings)
    item = given.system.equipment[device.enclosure]
    if item.kind != "disconnect" and device.device.kind == "fuse":
        parts.append(not_judged(f"whether a disconnecting means is within reach of the fuses at {device.tag}"))
    else:
        outdoors = item.place.outdoors if item.place is not None else None
        message = f"{device.tag} is a disconnecting means {'outside' if outdoors else 'inside the building'}"
        parts += parts_of(lambda: require(outdoors, message, missing=f"whether {item.tag} is outdoors"))
    return all_of(f"{circuit.tag} stays off buildings", parts)


def _off_buildings(run: Raceway) -> Judgement:
    if run.underground:
        return require(fact=True, message=f"{run.tag} lies underground")
    if run.inside_building or run.on_roof or run.on_building or run.above_roof_in is not None:
        return require(fact=False, message=f"{run.tag} runs in or on a building")
    if not (run.is_metal or run.kind == "MC cable"):
        return require(fact=False, message=f"{run.tag}: {run.kind} above ground")
    return not_judged(f"whether {run.tag} stays off every building")
