"""Where a control circuit changes size the splice is stated."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.control_circuit import ControlCircuit


@rule("control-splice", title="Where a control circuit changes size the splice is stated", provision="splices", judges="control circuit")
def judge(control: ControlCircuit, given: Given) -> Judgement:
    """Judge the splice between field wire and tails.

    Requires: a splicing device identified for both sizes and for the place, in a box or in an enclosure with room for it.
    Why: a splice made with the wrong connector opens; of a shutdown loop that costs energy, of a start loop the start.
    Applies to: control circuits with tails of another size than the field wire.
    Example that fails: tails of 16 AWG without a word on how they are joined.
    Example that passes: listed splice connectors in the switch enclosure.
    """
    if control.tail_size is None or control.tail_size == control.size:
        return does_not_apply(f"{control.tag} has no tails")
    splice = given.need(control.splice or None, f"splice between {control.size} and {control.tail_size} of {control.tag}")
    return require(fact=True, message=f"{control.tag}: {control.size} to {control.tail_size} by {splice}")
