"""The jumper of a bonding bushing on the load side is sized by the overcurrent device of the circuits in the raceway."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require_at_least
from permitgen.rules.quantities.conductor_area import area_of_size
from permitgen.rules.quantities.grounding_conductor_device import device_rating
from permitgen.rules.quantities.service_wiring import service_circuits_in
from permitgen.rules.rule import rule
from permitgen.values.conductor_size import ConductorSize
from permitgen.values.equation import selected

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.raceway import Raceway

WITH_JUMPER = "bonding bushing with jumper"


@rule(
    "load-side-bonding-jumper",
    title="The jumper of a bonding bushing on the load side is sized by the overcurrent device of the circuits in the raceway",
    provision="load_side_bonding_jumper",
    judges="raceway",
)
def judge(run: Raceway, given: Given) -> Judgement:
    """Judge the jumper between a bonding bushing and the enclosure.

    Requires: area of the jumper ≥ that of the equipment grounding conductor for the largest device of the circuits in the raceway.
    Why: a fault to the raceway returns through this piece of wire.
    Applies to: raceways beyond the service disconnect that a bushing with a jumper bonds.
    Example that fails: 12 AWG copper jumper on the raceway of a 60 A circuit; 10 AWG is required.
    Example that passes: 10 AWG copper jumper on the same raceway.
    """
    if run.bonding != WITH_JUMPER:
        return does_not_apply(f"{run.tag}: no bonding jumper on a bushing")
    if service_circuits_in(given, run):
        return does_not_apply(f"{run.tag}: service conductors, whose jumpers are of the supply side")
    circuits = [given.system.circuits[tag] for tag in given.system.circuits_in_run[run.tag]]
    if not circuits:
        return does_not_apply(f"{run.tag}: no circuit in it")
    size = given.need(run.bonding_jumper_size, f"bonding jumper of {run.tag}")
    rating = max((device_rating(given, circuit) for circuit in circuits), key=lambda value: value.number)
    required = ConductorSize(given.table("equipment_grounding_conductor").band_text(rating.number, "copper").text)
    provision = given.provision("load_side_bonding_jumper")
    area = area_of_size(given, required)
    title = f"bonding jumper for {rating.figure} A, {required}"
    return require_at_least(
        f"{run.tag}: {size} copper bonding jumper; {rating.figure} A needs {required}",
        computed=area_of_size(given, size, "A_jumper", f"area of the bonding jumper of {run.tag}, {size}"),
        limit=selected(
            area.number, "cmil", by="grounding conductor table", inputs=(rating,), symbol="A_table", title=title, provision=provision
        ),
    )
