"""A slot of a system: where one fact stands, and the same system with another fact there.

Steps are field names, keys of mappings, indexes of tuples, and names within ``facts``. Objects are read as they are, past what records
reading: who fills a slot has not judged by it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, is_dataclass, replace
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from permitgen.system.system import System

Step = str | int
_FACTS = "facts"


@dataclass(frozen=True, slots=True)
class Slot:
    """The steps from the system to a fact; ``device`` is the tag of the overcurrent device from which they lead instead."""

    steps: tuple[Step, ...]
    device: str = ""

    @property
    def is_named(self) -> bool:
        """Whether the fact has a field of its own, rather than a name among others."""
        return len(self.steps) < 2 or self.steps[-2] != _FACTS


def with_fact(system: System, slot: Slot, fact: object) -> System:
    """Return the same system with ``fact`` in a slot; the graph is built anew when it is asked for."""
    return with_facts(system, ((slot, fact),))


def with_facts(system: System, facts: Sequence[tuple[Slot, object]]) -> System:
    """Return the same system with a fact in each of several slots of it; devices are looked for once."""
    devices = {slot.device: system.devices[slot.device].device for slot, _ in facts if slot.device}
    for slot, fact in facts:
        if slot.device:
            changed = _put(devices[slot.device], slot.steps, fact)
            system = system.with_device(devices[slot.device], changed)
            devices[slot.device] = changed
        else:
            system = _put(system, slot.steps, fact)
    return system


def _put(thing: Any, steps: tuple[Step, ...], fact: object) -> Any:
    if not steps:
        return fact
    step, *rest = steps
    inner = _put(_part(thing, step), tuple(rest), fact)
    if isinstance(thing, Mapping):
        return {**thing, step: inner}
    if isinstance(thing, tuple) and isinstance(step, int):
        return (*thing[:step], inner, *thing[step + 1 :])
    if isinstance(thing, tuple):
        return tuple((name, held) for name, held in (dict(thing) | {step: inner}).items() if held is not None)
    return replace(thing, **{str(step): inner})


def _part(thing: Any, step: Step) -> Any:
    if isinstance(thing, Mapping):
        return thing[step]
    if isinstance(thing, tuple):
        return thing[step] if isinstance(step, int) else dict(thing).get(step)
    return object.__getattribute__(thing, str(step))


def slot_at(system: System, path: str, unit: str) -> Slot | None:
    """Return the slot at a path such as ``equipment.MSP.place.clear_width``; None where the system has no such place.

    The last step is a field with or without the suffix ``unit``, or a name within ``facts``. A path begins with a field of the system,
    with ``devices`` and the tag of an overcurrent device, or with a kind of equipment of which there is one.
    """
    root, *names = path.split(".")
    if root == "devices":
        installed = system.devices.get(".".join(names[:-1]))
        end = _end(installed.device, names[-1], unit) if installed is not None else ()
        return Slot(end, installed.tag) if installed is not None and end else None
    if not hasattr(system, root):
        alone = [tag for tag, item in system.equipment.items() if item.kind == root]
        if len(alone) != 1:
            return None
        root, names = "equipment", [*alone, *names]
    found: Any = system
    for step in (root, *names[:-1]):
        try:
            found = _part(found, step)
        except (AttributeError, KeyError):
            return None
    end = _end(found, names[-1], unit)
    return Slot((root, *names[:-1], *end)) if end else None


def fact_in(system: System, slot: Slot) -> object:
    """Return what a slot holds, None where nobody states it."""
    found: Any = system.devices[slot.device].device if slot.device else system
    for step in slot.steps:
        found = _part(found, step)
    return found


def _end(thing: Any, name: str, unit: str) -> tuple[Step, ...]:
    """Return the last steps to a fact of ``thing``: its own field, else a name within its facts; empty where it has neither."""
    known = {each.name for each in fields(thing)} if is_dataclass(thing) else set()
    own = next((each for each in (f"{name}_{unit}", name) if each in known), None)
    if own is not None:
        return (own,)
    return (_FACTS, name) if _FACTS in known else ()
