"""Overcurrent devices of PV dc circuits carry 125 percent of the maximum current and stay within the modules' maximum."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, not_judged, require_at_least, require_at_most
from permitgen.rules.quantities.circuit_current import circuit_current, role
from permitgen.rules.rule import rule
from permitgen.system.equipment.photovoltaic import PVArray
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.system.walks.dc_circuits import strings_joined_without_device

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.overcurrent_device import OvercurrentDevice
    from permitgen.values.value import Value


@rule("pv-overcurrent-rating", provision="pv_overcurrent_rating", judges="circuit", sizes=("overcurrent device",))
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge each device of a PV dc circuit from below and, on a string, from above.

    Requires: device ≥ 1.25 × maximum current (1.5625 × short-circuit current of a string), ≤ the modules' maximum device.
    Why: a smaller device opens on a bright day; a larger one than the module bears lets a fault burn the module.
    Applies to: PV dc circuits with a device; a device listed for 100 percent of its rating needs no 125 percent.
    Example that fails: 20 A on a string of 13.9 A: 21.7 A are needed.
    Example that passes: 25 A on it, with modules that bear 25 A.
    """
    if role(given, circuit) is not CircuitRole.PV_DC:
        return does_not_apply(f"{circuit.tag} is no PV dc circuit")
    devices = [device for device in (circuit.start_device, circuit.finish_device) if device is not None]
    if not devices:
        return does_not_apply(f"{circuit.tag} has no overcurrent device")
    parts = [part for device in devices for part in _parts(circuit, device, given)]
    return all_of(f"{circuit.tag}: its breaker or fuse carries the current and stays within the modules' maximum", parts)


def _parts(circuit: Circuit, device: OvercurrentDevice, given: Given) -> Iterator[Judgement]:
    rating = given.need(device.rating_a, f"rating of the overcurrent device of {circuit.tag}").named("OCPD")
    current = circuit_current(given, circuit)
    if device.is_adjustable:
        yield not_judged(f"setting of the adjustable device of {circuit.tag}")
    else:
        needed = current.maximum_a if device.listed_for_100_percent else current.required_a
        message = f"{circuit.tag}: a breaker or fuse of {rating.number:g} A, {needed.number:.4g} A needed"
        yield require_at_least(message, computed=rating, limit=needed)
    for limit in module_limits(given, circuit):
        message = f"{circuit.tag}: a breaker or fuse of {rating.number:g} A, the modules permit {limit.number:g} A"
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
