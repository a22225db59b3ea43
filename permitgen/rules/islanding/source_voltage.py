"""Sources that run in parallel with the utility are made for its voltage."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply
from permitgen.rules.quantities.source_voltage import compare_voltage
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.subjects import InstalledSource


@rule(
    "source-voltage",
    title="Sources that run in parallel with the utility are made for its voltage",
    provision="source_characteristics",
    judges="source",
)
def judge(subject: InstalledSource, given: Given) -> Judgement:
    """Judge the nameplate voltage of one interconnected source.

    Requires: the nominal voltage of the system between the conductors on which the source lands.
    Why: a 240 V inverter on two legs of a 208Y/120 V service trips, or does not start, or is not listed for it.
    Applies to: ac sources that run in parallel with the utility; generators do not.
    Example that fails: inverter of 240 V only on a 208Y/120 V service.
    Example that passes: inverter of 240 V on a 120/240 V service.
    """
    source = subject.source
    if source.kind == "generator" or not source.is_ac or not given.system.utility_nodes:
        return does_not_apply(f"{source.id} does not run in parallel with the utility")
    return compare_voltage(given, source, "the service")
