"""PV equipment can be isolated; above 30 A by a load-break disconnect in it, in sight within 10 ft, or worked from there."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, any_of, does_not_apply, not_judged, require, require_at_most
from permitgen.rules.parts import parts_of
from permitgen.rules.quantities.circuit_current import circuit_current, role
from permitgen.rules.rule import rule
from permitgen.system.equipment.inverter import Inverter
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.system.walks.dc_circuits import switches_between
from permitgen.system.walks.reach_of_hand import is_in_sight, plan_distance_ft

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.disconnect import Disconnect


@rule(
    "pv-equipment-disconnect",
    title="PV equipment can be isolated; above 30 A by a load-break disconnect in it, in sight within 10 ft, or worked from there",
    provision="pv_equipment_disconnect",
    judges="circuit",
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge how an inverter is isolated from a dc circuit.

    Requires: up to 30 A an isolating device that is stated (connectors); above, a load-break disconnect in the inverter or in reach, or one
        elsewhere that is operated from within reach and can be locked open.
    Why: connectors pulled under more current than that arc in the hand.
    Applies to: PV dc circuits that end at an inverter.
    Example that fails: two strings of 34.75 A together on connectors alone.
    Example that passes: the same on an inverter with a built-in dc switch.
    """
    if role(given, circuit) is not CircuitRole.PV_DC:
        return does_not_apply(f"{circuit.tag} is no PV dc circuit")
    inverters = [item for end in circuit.ends if isinstance(item := given.system.equipment[end.tag], Inverter)]
    if not inverters:
        return does_not_apply(f"{circuit.tag} does not end at an inverter")
    inverter = inverters[0]
    methods = [*parts_of(lambda: _isolating(circuit, inverter, given)), _built_in(inverter)]
    methods += [_switch(switch, inverter, given) for switch in switches_between(given.system, f"{circuit.tag}.start")]
    return any_of(f"{circuit.tag}: isolation of {inverter.tag}", methods)


def _isolating(circuit: Circuit, inverter: Inverter, given: Given) -> Judgement:
    """Judge an isolating device; where nobody states one, a terminal with a screw to tighten shows that there are no connectors."""
    limit = given.provision("pv_equipment_disconnect").value("isolating_device_a").named("I_30")
    current = circuit_current(given, circuit).maximum_a
    stated = inverter.word("dc_isolation")
    by = {"connectors": "connectors", "fuse holder": "a finger-safe fuse holder", "tool": "a device opened by tool"}.get(stated, stated)
    message = f"{current.number:.4g} A, up to {limit.figure} A {by or 'connectors'} or another isolating device do"
    within = require_at_most(message, computed=current, limit=limit, method="isolating device")
    if not within.holds or stated not in ("", "none"):
        return within
    if not stated and not _is_screwed(circuit, inverter):
        return replace(not_judged(f"what parts {circuit.tag} from {inverter.tag} (dc_isolation)"), method="isolating device")
    why = "nothing parts it" if stated else "it is screwed on, and no isolating device is stated"
    return require(fact=False, message=f"{circuit.tag} at {inverter.tag}: {why}", method="isolating device")


def _is_screwed(circuit: Circuit, inverter: Inverter) -> bool:
    terminals = (inverter.terminals.get(end.terminal) for end in circuit.ends if end.tag == inverter.tag)
    return any(terminal is not None and terminal.torque_lbf_in is not None for terminal in terminals)


def _built_in(inverter: Inverter) -> Judgement:
    answer = inverter.answer("dc_disconnect")
    if answer is None:
        return replace(not_judged(f"whether {inverter.tag} has a load-break dc switch"), method="in the inverter")
    if not answer:
        return replace(does_not_apply(f"{inverter.tag} has no dc switch"), method="in the inverter")
    return require(fact=True, message=f"{inverter.tag} has a load-break dc switch", method="in the inverter")


def _switch(switch: Disconnect, inverter: Inverter, given: Given) -> Judgement:
    breaks = require(
        switch.is_load_break,
        f"{switch.tag} {'can' if switch.is_load_break else 'cannot'} open under load",
        missing=f"whether {switch.tag} can open under load",
    )
    where = any_of(f"place of {switch.tag}", list(_places(switch, inverter, given)))
    return replace(all_of(f"{switch.tag}, load-break, in reach or worked from there", [breaks, where]), method="switch")


def _places(switch: Disconnect, inverter: Inverter, given: Given) -> Iterator[Judgement]:
    limit = given.provision("pv_equipment_disconnect").value("within_ft").named("d_max")
    sight, distance = is_in_sight(switch, inverter), plan_distance_ft(switch, inverter)
    seen = require(
        sight, f"{switch.tag} is {'' if sight else 'not '}in sight", missing=f"whether {switch.tag} is in sight of {inverter.tag}"
    )
    near = not_judged(f"distance from {switch.tag} to {inverter.tag}")
    if distance is not None:
        near = require_at_most(f"{switch.tag} is {distance.number:.3g} ft away", computed=distance, limit=limit)
    yield all_of("in sight within reach", [seen, near])
    locks, remote = switch.lockable, switch.answer("remote_operated")
    lockable = require(
        locks, f"{switch.tag} {'can' if locks else 'cannot'} be locked open", missing=f"whether {switch.tag} can be locked open"
    )
    operated = require(
        remote,
        f"{switch.tag} is {'' if remote else 'not '}operated from within {limit.length} of {inverter.tag}",
        missing=f"whether {switch.tag} is operated from within {limit.length} of {inverter.tag} (remote_operated)",
    )
    yield all_of("elsewhere, operated from within reach and lockable", [operated, lockable])
