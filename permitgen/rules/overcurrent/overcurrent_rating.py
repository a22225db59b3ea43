"""The overcurrent device of a circuit carries its current: all that is not continuous, and 125 percent of what is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.currents import required_continuous_current_a
from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require_at_least
from permitgen.rules.quantities.circuit_current import CircuitCurrent, circuit_current, role, source_side
from permitgen.rules.quantities.feeding import output_of
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.overcurrent_device import OvercurrentDevice
    from permitgen.values.value import Value

_DEVICE_PROVISION = {
    CircuitRole.BRANCH: "branch_overcurrent_continuous",
    CircuitRole.FEEDER: "feeder_overcurrent_continuous",
    CircuitRole.INVERTER_OUTPUT: "source_overcurrent",
    CircuitRole.SOURCE_FEEDER: "source_overcurrent",
    CircuitRole.STORAGE_AC: "source_overcurrent",
}


@rule("overcurrent-rating", provision="branch_overcurrent_continuous", judges="circuit", sizes=("overcurrent device",))
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the devices at both ends of one ac circuit.

    Requires: rating of the device ≥ noncontinuous current + 125 percent of the continuous current of loads and of sources.
    Why: a device loaded to its rating for hours opens, or ages its terminals.
    Applies to: ac circuits with an overcurrent device at an end; a device listed for 100 percent needs no margin.
    Example that fails: a 40 A device for 33 A of continuous current, 41.25 A.
    Example that passes: a 40 A device for 32 A of continuous current, 40 A.
    """
    devices = [device for device in (circuit.start_device, circuit.finish_device) if device is not None]
    if not devices or circuit.is_dc:
        return does_not_apply(f"{circuit.tag} has no ac overcurrent device at its ends")
    needs = _needs(circuit, given)
    if not needs:
        return does_not_apply(f"{circuit.tag}: its load is not stated and no source is behind it")
    return all_of(
        f"{circuit.tag}: its breaker or fuse carries its current",
        [_judge_one(circuit, given, device, need) for device in devices for need in needs],
    )


def _needs(circuit: Circuit, given: Given) -> list[CircuitCurrent]:
    """Return the currents to carry: of the load, and for a feeder also of the sources behind it, which flow the other way."""
    role_ = role(given, circuit)
    if role_ is not CircuitRole.FEEDER:
        return [circuit_current(given, circuit)]
    needs = [circuit_current(given, circuit)] if circuit.current_a is not None else []
    sources = tuple(
        source for source in source_side(given, circuit).sources if source.kind not in ("utility", "generator") and source.is_ac
    )
    if sources:
        provision = given.provision("source_overcurrent")
        output = output_of(given, sources, circuit.tag)
        required = required_continuous_current_a.derive(
            continuous_factor=provision.value("continuous_factor"), continuous_a=output, provision=provision
        )
        needs.append(CircuitCurrent(role_, output, required, "output of the sources behind the feeder", provision.id))
    return needs


def _judge_one(circuit: Circuit, given: Given, device: OvercurrentDevice, need: CircuitCurrent) -> Judgement:
    rating = given.need(device.rating_a, f"rating of the overcurrent device of {circuit.tag}").named("OCPD")
    required = need.maximum_a if device.listed_for_100_percent else need.required_a
    return require_at_least(
        f"{circuit.tag}: a {rating.number:g} A breaker or fuse for {required.number:.4g} A ({need.basis})",
        computed=rating,
        limit=_named(required),
        places=(device.at,) if device.at is not None else (),
    ).under(given.provision(_DEVICE_PROVISION.get(need.role, need.provision) if "source" not in need.basis else "source_overcurrent"))


def _named(required: Value) -> Value:
    return required if required.symbol else required.named("I_req")
