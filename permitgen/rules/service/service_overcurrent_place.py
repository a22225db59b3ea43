"""The overcurrent device of a service is part of the service disconnect, or stands immediately beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.quantities.service_disconnects import service_side
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.equipment import Equipment


@rule(
    "service-overcurrent-place",
    title="The overcurrent device of a service is part of the service disconnect, or stands immediately beside it",
    provision="service_overcurrent_place",
    judges="equipment",
)
def judge(item: Equipment, given: Given) -> Judgement:
    """Judge where the overcurrent device of each service disconnect stands.

    Requires: a device in the disconnect, or immediately adjacent to an unfused one.
    Why: the conductors between switch and device stay without any protection on the premises.
    Applies to: the enclosures of service disconnects.
    Example that fails: unfused switch outside as service disconnect, the main breaker 40 ft away.
    Example that passes: main breaker that is the service disconnect.
    """
    found = [d for d in service_side(given).of_loads if d.enclosure == item.tag]
    if not found:
        return does_not_apply(f"{item.tag}: holds no service disconnect")
    if all(d.link.device is not None for d in found):
        return require(fact=True, message=f"{item.tag}: its service disconnect is the overcurrent device")
    beside = item.answer("overcurrent_adjacent")
    words = "immediately beside it" if beside else "not beside it"
    return require(
        beside,
        f"{item.tag}: unfused service disconnect, its overcurrent device {words}",
        missing=f"whether the overcurrent device is immediately beside {item.tag}",
    )
