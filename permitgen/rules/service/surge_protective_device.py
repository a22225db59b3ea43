"""A type 2 surge-protective device stands on the load side of a service overcurrent device, a type 1 on either side."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.quantities.service_disconnects import service_side
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.equipment import Equipment


@rule(
    "surge-protective-device",
    title="A type 2 surge-protective device stands on the load side of a service overcurrent device, a type 1 on either side",
    provision="surge_protective_device",
    judges="equipment",
)
def judge(item: Equipment, given: Given) -> Judgement:
    """Judge the type of a surge-protective device by the place where it is connected.

    Requires: type 1 ahead of the service disconnect; type 1 or 2 beyond it.
    Why: a type 2 device relies on an overcurrent device to let go of it when it fails.
    Applies to: enclosures with a surge-protective device.
    Example that fails: type 2 device in the meter enclosure.
    Example that passes: type 2 device behind the main breaker.
    """
    kind = item.word("surge_protection")
    if kind in ("", "none"):
        return does_not_apply(f"{item.tag}: no surge-protective device")
    side = service_side(given)
    ahead = {node.split(".", maxsplit=1)[0] for node in side.ahead} - {d.enclosure for d in side.disconnects}
    where = "ahead of the service disconnect" if item.tag in ahead else "on the load side of the service overcurrent device"
    return require(kind != "type 2" or item.tag not in ahead, f"{item.tag}: surge protection {kind} {where}")
