"""Control circuits by which a device stops sources when it opens them."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.system.control_circuit import ControlCircuit
    from permitgen.system.system import System

RAPID_SHUTDOWN, EMERGENCY_SHUTDOWN = "rapid shutdown", "emergency shutdown"


def stop_loops(system: System, tag: str, *purposes: str) -> tuple[ControlCircuit, ...]:
    """Return the control circuits of the device ``tag`` that serve one of the purposes."""
    return tuple(loop for loop in system.controls.values() if tag in (loop.device, loop.source) and loop.purpose in purposes)
