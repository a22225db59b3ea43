"""The inlet of a portable generator is outside the building."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, require
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.generator import PowerInlet


@rule("inlet-outside", title="The inlet of a portable generator is outside the building", provision="inlet_outside", judges="power_inlet")
def judge(inlet: PowerInlet, given: Given) -> Judgement:
    """Judge where an inlet stands.

    Requires: outdoors.
    Why: the cord is short, and whoever plugs in inside runs the engine inside; its exhaust kills.
    Applies to: power inlets, from 2023.
    Example that fails: an inlet in the garage.
    Example that passes: an inlet on the outside wall.
    """
    del given
    outdoors = inlet.place.outdoors if inlet.place is not None else None
    message = f"{inlet.tag} is {'outdoors' if outdoors else 'indoors'}"
    return require(outdoors, message, missing=f"whether {inlet.tag} is outdoors")
