"""Two circuits of a project file that cannot both be, because they are one or would be two devices in one place."""

from __future__ import annotations

from collections.abc import Iterator

from permitgen.project.reference_check import Check
from permitgen.project.sections.equipment import MicrogridInterconnectDeviceModel
from permitgen.reading.problems import Problem
from permitgen.system.equipment.kinds import KINDS


def circuits_told_twice(check: Check) -> Iterator[Problem]:
    """What two circuits cannot both be: parallel conductors are one circuit, and a source terminal has one device."""
    joined: dict[frozenset[str], str] = {}
    devices: dict[str, str] = {}
    for tag, circuit in check.models.circuits.items():
        ends = (("from", circuit.from_, circuit.overcurrent.from_end), ("to", circuit.to, circuit.overcurrent.to_end))
        named = frozenset(end for _, end, _ in ends if not _is_space(check, end))
        if len(named) > 1 and (other := joined.setdefault(named, tag)) != tag:
            message = f"{other} joins {circuit.from_} and {circuit.to} already; conductors in parallel are one circuit (conductors: sets)"
            yield check.problem(("circuits", tag, "to"), message)
        for key, end, device in ends:
            tag_there, _, terminal = end.partition(".")
            item = check.models.equipment.get(tag_there)
            if device is None or not isinstance(item, MicrogridInterconnectDeviceModel) or terminal not in item.terminals:
                continue
            if (other := devices.setdefault(end, tag)) != tag:
                yield check.problem(("circuits", tag, key), f"{other} brings a breaker or fuse to {end} already; a source terminal has one")


def _is_space(check: Check, end: str) -> bool:
    """Whether an end is a breaker of a panel, or a place where any number of circuits land side by side."""
    tag, _, terminal = end.partition(".")
    item = check.models.equipment.get(tag)
    if item is None or KINDS[item.kind].takes_any_terminal:
        return True
    return KINDS[item.kind].has_positions and (not terminal or terminal.isdecimal())
