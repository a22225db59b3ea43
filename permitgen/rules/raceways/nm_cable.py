"""Nonmetallic-sheathed cable stays dry and indoors."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.raceway import Raceway


@rule("nm-cable", title="Nonmetallic-sheathed cable stays dry and indoors", provision="nm_cable_uses", judges="raceway")
def judge(raceway: Raceway, given: Given) -> Judgement:
    """Judge where NM-B cable runs.

    Requires: not outdoors, not wet or damp, not buried, not on the roof.
    Why: its paper filler wicks water along its whole length.
    Applies to: NM-B cable; its ampacity is read with the circuit.
    Example that fails: NM-B down the outside wall to an inverter.
    Example that passes: NM-B through the attic.
    """
    del given
    if raceway.kind != "NM-B cable":
        return does_not_apply(f"{raceway.tag} is not NM-B cable")
    where = [word for word, holds in _places(raceway) if holds]
    if not where:
        where = ["in a wet place"] if raceway.is_wet_or_buried else []
    return require(not where, f"{raceway.tag}: NM-B cable {' and '.join(where) if where else 'in a dry place'}")


def _places(raceway: Raceway) -> tuple[tuple[str, bool], ...]:
    """Return the places that are told; one of them is enough."""
    is_on_roof = raceway.above_roof_in is not None
    return (("in a wet place", bool(raceway.wet)), ("underground", bool(raceway.underground)), ("on the roof", is_on_roof))
