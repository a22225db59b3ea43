"""Small conductors have a largest overcurrent device of their own, whatever their ampacity."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require_at_most

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.values.value import Value


def judge(circuit: Circuit, given: Given, rating: Value) -> Judgement:
    """Judge ``rating ≤ limit of the table`` for 18 to 10 AWG copper and 12 and 10 AWG aluminum; the limit caps the device, not the load."""
    conductors = circuit.conductors
    size = given.need(conductors.size, f"conductor size of {circuit.tag}")
    provision = given.provision("small_conductor_limit")
    table = given.table("small_conductor_limit")
    if table.number_at((conductors.material, size.name), "maximum") is None:
        return does_not_apply(f"{size} {conductors.material} is no small conductor").under(provision)
    limit = table.at((conductors.material, size.name), "maximum").named(
        "OCPD_max", f"largest breaker or fuse on {size} {conductors.material}"
    )
    return require_at_most(
        f"{rating.figure} A on {size} {conductors.material}, at most {limit.figure} A for so small a conductor",
        computed=rating,
        limit=limit,
        method="small conductor",
    ).under(provision)
