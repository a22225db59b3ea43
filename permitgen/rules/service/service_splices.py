"""Service conductors are spliced and tapped with parts made for the line side of the service.

Until 2017 listed parts serve; from 2020 they are marked as suitable for the line side of service equipment.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.quantities.service_disconnects import circuits_landing_at
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.pass_through import JunctionBox

# Conductors that are pulled through a box are not spliced in it.
PULLED_THROUGH = ("straight", "angle", "u")


@rule(
    "service-splices",
    title="Service conductors are spliced and tapped with parts made for the line side of the service",
    provision="service_splices",
    judges="junction_box",
)
def judge(box: JunctionBox, given: Given) -> Judgement:
    """Judge the connectors and distribution blocks with which service conductors are spliced or tapped in a box.

    Requires: connectors listed for it, from 2020 marked as suitable for the line side of service equipment.
    Why: a connector that fails ahead of every device burns until the utility's fuse opens.
    Applies to: boxes in which service conductors meet; those that are pulled through without a splice do not count.
    Example that fails: insulation-piercing taps listed for branch circuits, on the service conductors, NEC 2020.
    Example that passes: a distribution block marked as suitable for the line side of service equipment.
    """
    circuits = circuits_landing_at(given, box.tag)
    if not circuits:
        return does_not_apply(f"{box.tag}: no service conductors in it")
    # Two circuits that pass without a splice are one conductor; a third one can only be tapped.
    if len(circuits) == 2 and box.word("pull") in PULLED_THROUGH:
        return does_not_apply(f"{box.tag}: service conductors are pulled through without a splice")
    marking = given.need(box.word("line_side_connectors") or None, f"marking of the connectors on service conductors in {box.tag}")
    words = "neither listed nor marked for the line side" if marking == "neither" else marking
    accepted = given.provision("service_splices").words("accepted")
    return require(
        marking in accepted, f"{box.tag}: connectors of {', '.join(c.tag for c in circuits)} {words}; {' or '.join(accepted)} wanted"
    )
