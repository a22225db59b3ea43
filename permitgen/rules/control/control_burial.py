"""How deep Class 2 wiring is buried is left to the local authority."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Verdict, does_not_apply, require
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.control_circuit import ControlCircuit


@rule(
    "control-burial",
    title="How deep Class 2 wiring is buried is left to the local authority",
    provision="control_burial",
    judges="control circuit",
)
def judge(control: ControlCircuit, given: Given) -> Judgement:
    """Remind of the cover over a buried Class 2 circuit; the cover table is not among the sections its article lists.

    Requires: cover as the local authority asks.
    Why: a shutdown loop cut by a spade shuts the system down; a start loop cut leaves the house dark.
    Applies to: Class 2 circuits in buried runs without power wiring.
    Example that fails: a Class 2 cable under the lawn, a caution.
    Example that passes: a Class 1 circuit, which follows the cover table.
    """
    buried = [tag for tag in control.runs if given.system.raceways[tag].buried and not given.system.circuits_in_run[tag]]
    if control.source_class != "2" or not buried:
        return does_not_apply(f"{control.tag} is no buried Class 2 circuit")
    where = ", ".join(buried)
    return require(fact=False, message=f"{control.tag}: cover over {where} is for the local authority to say", otherwise=Verdict.CAUTION)
