"""Copper and aluminum are joined only in devices listed for both."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.pass_through import JunctionBox


@rule("splice-material", title="Copper and aluminum are joined only in devices listed for both", provision="splices", judges="junction_box")
def judge(box: JunctionBox, given: Given) -> Judgement:
    """Judge the splices of a box in which circuits meet.

    Requires: splicing devices listed for the conductor material; for both where copper meets aluminum.
    Why: dissimilar metals corrode in contact, and aluminum under a copper-only connector loosens.
    Applies to: boxes where conductors of several circuits join and aluminum is among them.
    Example that fails: an aluminum feeder spliced to copper with connectors listed for copper.
    Example that passes: the same splice with connectors listed for copper and aluminum.
    """
    meeting: dict[str, set[str]] = {}
    for circuit in given.system.circuits.values():
        for end in circuit.ends:
            if end.tag == box.tag:
                meeting.setdefault(end.terminal, set()).add(circuit.conductors.material)
    joined = set().union(*meeting.values()) if meeting else set()
    if "aluminum" not in joined:
        return does_not_apply(f"{box.tag}: no aluminum is spliced there")
    needed = "copper and aluminum" if any(len(materials) > 1 for materials in meeting.values()) else "aluminum"
    listed = given.need(box.word("splices_listed_for") or None, f"material for which the splices in {box.tag} are listed")
    return require(listed in (needed, "copper and aluminum"), f"{box.tag}: splices of {needed}, connectors listed for {listed}")
