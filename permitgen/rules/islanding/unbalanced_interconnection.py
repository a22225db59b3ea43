"""Single-phase sources leave the system in balance, or the utility accepts that they do not.

Sources of 240 V between both legs of a 120/240 V service load them alike. Sources on one leg, or on two legs of a three-phase service,
do not; how much of that is tolerable the utility says.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.quantities.source_voltage import source_circuits
from permitgen.rules.rule import rule
from permitgen.system.equipment.utility_service import UtilityService

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.power_source import PowerSource

# Legs of a split-phase service against the neutral: together twice the voltage of one.
_SPLIT_PHASE_RATIO = 2.0
_RATIO_TOLERANCE = 1e-6


@rule(
    "unbalanced-interconnection",
    title="Single-phase sources leave the system in balance, or the utility accepts that they do not",
    provision="unbalanced_interconnection",
    judges="utility_service",
)
def judge(service: UtilityService, given: Given) -> Judgement:
    """Judge how the sources divide over the phases of a service.

    Requires: each source between both legs, or on all phases; else that the utility accepts the unbalance.
    Why: one loaded phase raises its own voltage and shifts the neutral for every neighbor on the transformer.
    Applies to: services with which ac sources run in parallel.
    Example that fails: inverters of 120 V on one leg that the utility did not accept.
    Example that passes: inverter of 240 V on a 120/240 V service.
    """
    sources = [s for s in given.system.sources.values() if s.is_ac and s.kind not in ("utility", "generator")]
    if not sources:
        return does_not_apply(f"{service.tag}: no source runs in parallel with it")
    uneven = [source.id for source in sources if not _is_even(given, service, source)]
    if not uneven:
        return require(fact=True, message=f"{service.tag}: all sources load its phases alike")
    accepted = service.answer("single_phase_sources_accepted")
    names = ", ".join(uneven)
    return require(
        accepted,
        f"{service.tag}: {names} load its phases unevenly, which the utility {'accepts' if accepted else 'does not accept'}",
        missing=f"whether the utility accepts the unbalance of {names}",
    )


def _is_even(given: Given, service: UtilityService, source: PowerSource) -> bool:
    circuits = source_circuits(given, source)
    fewest = min((circuit.conductors.ungrounded_count for circuit in circuits), default=0)
    return fewest >= (2 if _is_split_phase(given, service) else 3)


def _is_split_phase(given: Given, service: UtilityService) -> bool:
    between = given.need(service.line_to_line_v, f"voltage of {service.tag}").number
    if service.line_to_neutral_v is None:
        return True
    return abs(between / service.line_to_neutral_v.number - _SPLIT_PHASE_RATIO) < _RATIO_TOLERANCE
