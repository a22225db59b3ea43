"""What a listed power control system can hold to a current of its own output."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from permitgen.system.equipment.equipment import Equipment

if TYPE_CHECKING:
    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldOutput(Equipment):
    """Equipment with a rated output current ``output_a``; ``limit_a`` is the current to which its own setting holds it."""

    output_can_be_held: ClassVar[bool] = True

    output_a: Value | None = None
    limit_a: Value | None = None
