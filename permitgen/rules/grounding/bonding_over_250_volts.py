"""Metal raceways of circuits above 250 V to ground are bonded by more than standard locknuts.

PV strings are such circuits: arrays float, so that their whole voltage counts as voltage to ground. Knockouts without concentric or
eccentric rings need no further bonding.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, at_most, does_not_apply, require
from permitgen.rules.quantities.circuit_current import source_side
from permitgen.rules.quantities.pv_voltage import string_maximum_voltage
from permitgen.rules.rule import rule
from permitgen.rules.subjects import SUBJECTS, tag_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.raceway import Raceway
    from permitgen.values.value import Value


@rule(
    "bonding-over-250-volts",
    title="Metal raceways of circuits above 250 V to ground are bonded by more than standard locknuts",
    provision="bonding_over_250_v",
    judges="raceway",
)
def judge(raceway: Raceway, given: Given) -> Judgement:
    """Judge how a metal raceway of PV strings above 250 V is bonded.

    Requires: hubs, bonding bushings or locknuts, or knockouts without concentric rings.
    Why: at this voltage the thin webs of a concentric knockout burn away before anything trips.
    Applies to: metal raceways that hold dc circuits of more than 250 V.
    Example that fails: EMT of a 440 V string on a concentric knockout with standard locknuts.
    Example that passes: the same EMT with a bonding bushing.
    """
    circuits = [given.system.circuits[tag] for tag in given.system.circuits_in_run[raceway.tag]]
    strings = [circuit for circuit in circuits if circuit.is_dc]
    if not raceway.is_metal or not strings:
        return does_not_apply(f"{raceway.tag}: no metal raceway of dc circuits")
    provision = given.provision("bonding_over_250_v")
    volts = [voltage for circuit in strings for voltage in _voltages(given, circuit)]
    if not volts:
        return does_not_apply(f"{raceway.tag}: no PV string in it")
    highest = max(volts, key=lambda value: value.number)
    if at_most(highest, provision.value("above_v")):
        return does_not_apply(f"{raceway.tag}: {highest.number:.4g} V at most")
    bonding = given.need(raceway.bonding or None, f"bonding of {raceway.tag}")
    return require(
        bonding in provision.words("accepted"), f"{raceway.tag}: {highest.number:.4g} V, raceway bonded by {bonding}", values=(highest,)
    )


def _voltages(given: Given, circuit: Circuit) -> list[Value]:
    tags = {source.id for source in source_side(given, circuit).sources}
    return [string_maximum_voltage(given, subject) for subject in SUBJECTS["PV string"](given.system) if tag_of(subject) in tags]
