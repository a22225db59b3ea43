"""An interlock of breakers is listed for the panel it is on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.panelboard import Panelboard


@rule(
    "interlock-for-panel",
    title="An interlock of breakers is listed for the panel it is on",
    provision="interlock_listed",
    judges="panelboard",
)
def judge(panel: Panelboard, given: Given) -> Judgement:
    """Judge the interlock between breakers of one panel.

    Requires: a listing for this panelboard.
    Why: a plate made for another cover leaves a gap through which both breakers close.
    Applies to: panels with an interlocked breaker, or with an interlock all of whose switches are its breakers.
    Example that fails: a plate for another panel.
    Example that passes: the plate for this one.
    """
    own = [each for each in given.system.interlocks if all(name.split(".", maxsplit=1)[0] == panel.tag for name in each.switches)]
    if panel.interlocked_position is None and not own:
        return does_not_apply(f"{panel.tag}: no interlock of its breakers")
    listed = panel.answer("interlock_listed_for_panel")
    message = f"{panel.tag}: the interlock of its breakers is {'' if listed else 'not '}listed for this panel"
    return require(listed, message, missing=f"whether the interlock of {panel.tag} is listed for this panel")
