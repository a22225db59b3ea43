"""A switch shows whether it is open or closed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.disconnect import Disconnect


@rule("switch-position", title="A switch shows whether it is open or closed", provision="switch_position", judges="disconnect")
def judge(switch: Disconnect, given: Given) -> Judgement:
    """Judge a switch in an enclosure of its own.

    Requires: off and on plainly shown.
    Why: whoever comes to it in smoke must see what it did.
    Applies to: switches that are new or replaced; those that start rapid shutdown are judged with the array.
    Example that fails: a rotary switch with a worn dial that shows neither.
    Example that passes: a handle with ON above and OFF below.
    """
    del given
    if switch.status == "existing":
        return does_not_apply(f"{switch.tag} is existing and stays")
    shows = switch.answer("shows_off_and_on")
    message = f"{switch.tag} {'shows' if shows else 'does not show'} plainly whether it is off or on"
    return require(shows, message, missing=f"whether {switch.tag} plainly shows off and on")
