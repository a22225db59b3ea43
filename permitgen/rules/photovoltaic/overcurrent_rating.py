"""Overcurrent devices of PV dc circuits carry 125 percent of the maximum current and stay within the modules' maximum."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, not_judged, require_at_least, require_at_most
from permitgen.rules.parts import parts_for, parts_of
from permitgen.rules.quantities.circuit_current import circuit_current, role
from permitgen.rules.rule import rule
from permitgen.system.equipment.photovoltaic import PVArray
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.system.walks.dc_circuits import strings_joined_without_device
from permitgen.system.walks.in_series import circuits_in_series

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.installed_device import InstalledDevice
    from permitgen.values.value import Value


@rule(
    "pv-overcurrent-rating",
    title="Overcurrent devices of PV dc circuits carry 125 percent of the maximum current and stay within the modules' maximum",
    provision="pv_overcurrent_rating",
    judges="device",
    sizes=("overcurrent device",),
)
def judge(device: InstalledDevice, given: Given) -> Judgement:
    """Judge one device in series with a PV dc circuit from below and, on a string, from above.

    Requires: device ≥ 1.25 × maximum current (1.5625 × short-circuit current of a string), ≤ the modules' maximum device.
    Why: a smaller device opens on a bright day; a larger one than the module bears lets a fault burn the module.
    Applies to: devices of PV dc circuits, in switches and boxes too; one listed for 100 percent of its rating needs no 125 percent.
    Example that fails: 20 A on a string of 13.9 A: 21.7 A are needed.
    Example that passes: 25 A on it, with modules that bear 25 A.
    """
    circuits = [circuit for circuit in circuits_in_series(given.system, device) if role(given, circuit) is CircuitRole.PV_DC]
    if not circuits:
        return does_not_apply(f"{device.tag} is in series with no PV dc circuit")
    found = parts_for(circuits, lambda circuit: _parts(circuit, device, given))
    parts = list({part.message: part for part in found}.values())
    return all_of(f"{device.tag}: it carries the current and stays within the modules' maximum", parts)


def _parts(circuit: Circuit, device: InstalledDevice, given: Given) -> list[Judgement]:
    rating = given.need(device.device.rating_a, f"rating of the device at {device.tag}").named("OCPD")
    return parts_of(lambda: _carries(circuit, device, rating, given), lambda: _within_modules(circuit, device, rating, given))


def _carries(circuit: Circuit, device: InstalledDevice, rating: Value, given: Given) -> Judgement:
    current = circuit_current(given, circuit)
    if device.device.is_adjustable:
        return not_judged(f"setting of the adjustable device at {device.tag}")
    needed = current.maximum_a if device.device.listed_for_100_percent else current.required_a
    message = f"{device.tag}: a breaker or fuse of {rating.figure} A, {needed.number:.4g} A needed"
    return require_at_least(message, computed=rating, limit=needed)


def _within_modules(circuit: Circuit, device: InstalledDevice, rating: Value, given: Given) -> Iterator[Judgement]:
    for limit in module_limits(given, circuit):
        message = f"{device.tag}: a breaker or fuse of {rating.figure} A, the modules permit {limit.figure} A"
        yield require_at_most(message, computed=rating, limit=limit)


def module_limits(given: Given, circuit: Circuit) -> Iterator[Value]:
    """Yield the maximum device of the modules on a circuit that carries one string alone.

    Raises:
        MissingFactError: the module does not state it.
    """
    for end in ("start", "finish"):
        strings = strings_joined_without_device(given.system, f"{circuit.tag}.{end}")
        if len(strings) != 1:
            continue
        array = given.system.equipment[strings[0].tag]
        if isinstance(array, PVArray) and array.converter is None:
            module = given.need(array.module, f"module of {array.tag}")
            yield given.need(module.largest_series_fuse_a, f"maximum overcurrent device of {module.name}").named("I_fuse")
            return
