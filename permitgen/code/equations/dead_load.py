"""Weight of an array and what it is for each square foot of roof."""

from __future__ import annotations

from permitgen.values.equation import equation


@equation("W", "weight of the array", modules_count="n", module_lb="w_mod", racking_lb="w_rack")
def array_weight_lb(modules_count: float, module_lb: float, racking_lb: float) -> float:
    """Return modules × weight of one + weight of rails, clamps and attachments, lb (sum of given weights)."""
    return modules_count * module_lb + racking_lb


@equation("D", "dead load of the array", array_lb="W", array_area_ft2="A")
def dead_load_lb_per_ft2(array_lb: float, array_area_ft2: float) -> float:
    """Return weight ÷ area of the modules along the roof, lb/ft² (definition of a distributed load)."""
    return array_lb / array_area_ft2


@equation("A", "area of the modules along the roof", modules_count="n", module_length_in="l", module_width_in="b")
def modules_area_ft2(modules_count: float, module_length_in: float, module_width_in: float) -> float:
    """Return modules × length × width of one, ft² (geometry)."""
    return modules_count * (module_length_in / 12) * (module_width_in / 12)


@equation("w_a", "dead load on one attachment, evenly shared", array_lb="W", attachments_count="n_a")
def load_per_attachment_lb(array_lb: float, attachments_count: float) -> float:
    """Return weight ÷ attachments, lb (even share); wind and snow are not in it."""
    return array_lb / attachments_count
