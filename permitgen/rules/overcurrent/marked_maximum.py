"""Air conditioners, heat pumps and motors are protected by the ratings marked on them, not by the ampacity of their conductors."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require_at_least, require_at_most
from permitgen.rules.parts import parts_of
from permitgen.rules.quantities.conductor_ampacity import conductor_ampacity
from permitgen.system.equipment.utilization import Appliance

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.values.value import Value

_HAVE_ARTICLES_OF_THEIR_OWN = ("air conditioning", "heat pump", "motor")


def judge(circuit: Circuit, given: Given, rating: Value) -> Judgement:
    """Judge ``ampacity ≥ marked minimum circuit ampacity`` and ``rating ≤ marked maximum device``."""
    provision = given.provision("specific_applications")
    item = next((found for end in circuit.ends if isinstance(found := given.system.equipment[end.tag], Appliance)), None)
    if item is None or item.category not in _HAVE_ARTICLES_OF_THEIR_OWN:
        return does_not_apply(f"{circuit.tag} supplies no air conditioner, heat pump or motor").under(provision)
    if item.minimum_circuit_ampacity_a is None or item.largest_device_a is None:
        return does_not_apply(f"{item.tag} states no minimum circuit ampacity and maximum device").under(provision)
    minimum = item.minimum_circuit_ampacity_a.named("MCA", f"minimum circuit ampacity marked on {item.tag}")
    largest = item.largest_device_a.named("MOCP", f"maximum overcurrent device marked on {item.tag}")
    device = require_at_most(
        f"{rating.figure} A breaker or fuse; {item.tag} is marked {largest.figure} A maximum",
        computed=rating,
        limit=largest,
        method="marked maximum device",
    ).under(provision)
    return all_of(
        f"conductors and device agree with the marks of {item.tag}",
        [device, *parts_of(lambda: _conductors(circuit, given, item.tag, minimum))],
    )


def _conductors(circuit: Circuit, given: Given, tag: str, minimum: Value) -> Judgement:
    ampacity = conductor_ampacity(given, circuit).final_a
    return require_at_least(
        f"its conductors carry {ampacity.number:.4g} A; {tag} is marked {minimum.figure} A minimum circuit ampacity",
        computed=ampacity,
        limit=minimum,
        method="marked minimum circuit ampacity",
    ).under(given.provision("specific_applications"))
