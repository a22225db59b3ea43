"""Weight, area and dead load of an array, each with its derivation; nothing where a fact is missing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.code.equations.dead_load import array_weight_lb, dead_load_lb_per_ft2, load_per_attachment_lb, modules_area_ft2
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.system.equipment.photovoltaic import PVArray


@dataclass(frozen=True, slots=True)
class ArrayDeadLoad:
    """What could be computed of an array; None where a fact is missing, and ``missing`` names it."""

    count: Value | None
    area_ft2: Value | None
    weight_lb: Value | None
    load_lb_per_ft2: Value | None
    per_attachment_lb: Value | None
    missing: tuple[str, ...]


def array_dead_load(array: PVArray) -> ArrayDeadLoad:
    """Return the dead load of an array: modules and racking over the area of the modules along the roof."""
    module, count = array.module, array.all_modules
    racking, attachments = array.fact("racking_weight"), array.fact("attachments")
    weight_each = module.weight_lb if module is not None else None
    size = (module.length_in, module.width_in) if module is not None else (None, None)
    needed = {
        "count of modules": count,
        "weight of a module": weight_each,
        "weight of the racking": racking,
        "length of a module": size[0],
        "width of a module": size[1],
        "count of attachments": attachments,
    }
    missing = tuple(f"{name} of {array.tag}" for name, value in needed.items() if value is None)
    area = weight = load = each = None
    if count is not None and size[0] is not None and size[1] is not None:
        area = modules_area_ft2.derive(
            modules_count=count, module_length_in=size[0], module_width_in=size[1], title=f"modules of {array.tag}"
        )
    if count is not None and weight_each is not None and racking is not None:
        weight = array_weight_lb.derive(modules_count=count, module_lb=weight_each, racking_lb=racking, title=f"weight of {array.tag}")
    if weight is not None and area is not None:
        load = dead_load_lb_per_ft2.derive(array_lb=weight, array_area_ft2=area, title=f"dead load of {array.tag}")
    if weight is not None and attachments is not None and attachments.number > 0:
        each = load_per_attachment_lb.derive(
            array_lb=weight, attachments_count=attachments, title=f"dead load on one attachment of {array.tag}"
        )
    return ArrayDeadLoad(count, area, weight, load, each, missing)
