"""A shutdown loop shuts down when it is broken."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.control_circuit import ControlCircuit

_SHUT_DOWN = ("rapid shutdown", "emergency shutdown")


@rule("shutdown-loop", title="A shutdown loop shuts down when it is broken", provision="shutdown_loop_wire", judges="control circuit")
def judge(control: ControlCircuit, given: Given) -> Judgement:
    """Judge the loop of a shutdown initiator.

    Requires: the initiator opens the loop, and an open loop shuts down.
    Why: a loop that must be closed to shut down fails with the first broken wire, unseen, and would have to be Class 1 safety control.
    Applies to: control circuits for rapid or emergency shutdown.
    Example that fails: a switch that closes a contact to shut down.
    Example that passes: a normally closed loop that the switch opens.
    """
    if control.purpose not in _SHUT_DOWN:
        return does_not_apply(f"{control.tag} shuts nothing down")
    fails_safe = require(
        control.fails_to_shutdown,
        f"{control.tag}: a broken loop {'shuts down' if control.fails_to_shutdown else 'does not shut down'}",
        missing=f"whether a broken {control.tag} shuts down",
    ).under(given.provision("class_1_safety_control"))
    opens = require(
        control.opens,
        f"{control.tag}: the initiator {'opens' if control.opens else 'closes'} the loop",
        missing=f"whether the initiator opens {control.tag}",
    )
    return all_of(f"{control.tag}: opened by the initiator, and shuts down when broken", [fails_safe, opens])
