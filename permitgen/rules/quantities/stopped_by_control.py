"""Whether turning off a device reaches what it stops by control."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, require

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.system.control_circuit import ControlCircuit


def opened_at(tag: str, loops: Sequence[ControlCircuit], does: tuple[str, str], message: str) -> Judgement:
    """Judge that opening each control circuit at the device ``tag`` does what it is for; ``does`` says that it does, or does not."""
    parts = [
        require(
            loop.fails_to_shutdown,
            f"{loop.tag}: opening it at {tag} {does[0] if loop.fails_to_shutdown else does[1]}",
            missing=f"whether opening {loop.tag} starts shutdown",
        )
        for loop in loops
    ]
    return all_of(message, parts)
