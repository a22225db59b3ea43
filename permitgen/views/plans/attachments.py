"""S-501: what holds the arrays on the roof, from given facts; weights computed, strength not judged."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.rules.quantities.array_dead_load import ArrayDeadLoad, array_dead_load
from permitgen.system.equipment.photovoltaic import PVArray
from permitgen.values.equation import Derivation
from permitgen.views.wording import value_text

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.values.value import Value

NOT_STATED = "not stated"
DISCLAIMER = (
    "No structural approval is claimed. Strength of roof, framing, racking and fasteners against wind, snow, earthquake and dead load"
    " is not checked here; it is governed by the racking manufacturer's instructions and, where required, by a licensed engineer."
)


@dataclass(frozen=True, slots=True)
class AttachmentSchedule:
    """One row for each array in ``facts`` and ``loads``; ``workings`` are the computations line by line."""

    facts: tuple[tuple[str, ...], ...]
    loads: tuple[tuple[str, ...], ...]
    workings: tuple[str, ...]
    disclaimer: str
    missing: tuple[str, ...]


def attachment_schedule_of(evaluation: Evaluation) -> AttachmentSchedule:
    """Return the schedule of the arrays on buildings; empty where there is none."""
    arrays = [item for item in evaluation.system.equipment.values() if isinstance(item, PVArray) and item.on_building]
    loads = [array_dead_load(array) for array in arrays]
    workings = [
        line
        for load in loads
        for value in (load.area_ft2, load.weight_lb, load.load_lb_per_ft2, load.per_attachment_lb)
        for line in _working(value)
    ]
    return AttachmentSchedule(
        facts=tuple(_facts(array) for array in arrays),
        loads=tuple(_loads(array, load) for array, load in zip(arrays, loads, strict=True)),
        workings=tuple(workings),
        disclaimer=DISCLAIMER,
        missing=tuple(name for array, load in zip(arrays, loads, strict=True) for name in (*load.missing, *_unsaid(array))),
    )


def _facts(array: PVArray) -> tuple[str, ...]:
    return (
        array.tag,
        ", ".join(array.roof_planes) or NOT_STATED,
        array.word("framing") or NOT_STATED,
        array.word("fastener") or NOT_STATED,
        _or_not(array.fact("fastener_embedment")),
        _or_not(array.fact("attachment_spacing")),
        array.word("flashing") or NOT_STATED,
    )


def _loads(array: PVArray, load: ArrayDeadLoad) -> tuple[str, ...]:
    module = array.module
    return (
        array.tag,
        _or_not(load.count),
        _or_not(module.weight_lb if module is not None else None),
        _or_not(array.fact("racking_weight")),
        _or_not(load.weight_lb),
        _or_not(load.area_ft2),
        _or_not(load.load_lb_per_ft2),
        _or_not(array.fact("attachments")),
        _or_not(load.per_attachment_lb),
    )


def _or_not(value: Value | None) -> str:
    return value_text(value) if value is not None else NOT_STATED


def _working(value: Value | None) -> tuple[str, ...]:
    """Return a computation as one line: what, formula with numbers, result."""
    if value is None or not isinstance(value.origin, Derivation):
        return ()
    given = ", ".join(f"{item.symbol or item.title} = {value_text(item)}" for item in value.origin.inputs)
    return (f"{value.title}: {value.symbol} = {value_text(value)} from {given}",)


def _unsaid(array: PVArray) -> tuple[str, ...]:
    words = [f"{name} of {array.tag}" for name in ("framing", "fastener", "flashing") if not array.word(name)]
    lengths = [
        f"{name.replace('_', ' ')} of {array.tag}" for name in ("fastener_embedment", "attachment_spacing") if array.fact(name) is None
    ]
    return (*words, *lengths)
