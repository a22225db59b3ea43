"""The overcurrent device of an inverter's output stays within the largest its maker permits."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, not_judged, require_at_most
from permitgen.rules.quantities.protection import devices_protecting
from permitgen.rules.rule import rule
from permitgen.system.equipment.photovoltaic import Inverter

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit


@rule("inverter-device-maximum", provision="listed_and_instructed", judges="circuit", sizes=("overcurrent device",))
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the device that protects an inverter's output circuit against the maker's largest.

    Requires: device toward the utility ≤ the largest that the inverter's instructions permit.
    Why: the parts behind the terminals were tested behind that device.
    Applies to: circuits that land on an inverter's ac terminal.
    Example that fails: a 60 A breaker for an inverter that permits 50 A.
    Example that passes: a 50 A breaker there.
    """
    inverters = [item for end in circuit.ends if isinstance(item := given.system.equipment[end.tag], Inverter)]
    if not inverters or circuit.is_dc:
        return does_not_apply(f"{circuit.tag} does not land on an inverter's output")
    devices = [found for found in devices_protecting(given, circuit) if found.against.startswith("the utility")]
    if not devices:
        return not_judged(f"overcurrent device of {circuit.tag}")
    inverter = inverters[0]
    largest = given.need(inverter.largest_device_a, f"largest overcurrent device that the maker of {inverter.tag} permits").named(
        "OCPD_max"
    )
    parts = []
    for found in devices:
        rating = given.need(found.device.rating_a, f"rating of {found.part}").named("OCPD")
        message = f"{circuit.tag}: {rating.number:g} A at {found.part}, {largest.number:g} A permitted by the maker of {inverter.tag}"
        parts.append(require_at_most(message, computed=rating, limit=largest))
    return all_of(parts[0].message, parts)
