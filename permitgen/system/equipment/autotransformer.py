"""The neutral-forming autotransformer."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.system.overcurrent_device import OvercurrentDevice
    from permitgen.values.origin import ProjectLine
    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True, kw_only=True)
class Autotransformer:
    """Neutral former. ``neutral_a`` continuous neutral current; ``peak_a`` for ``peak_s`` seconds.

    ``rating_kva`` is the nameplate's, of which ``rating_means`` says whether it counts the ``load`` or the ``winding``.

    ``opens_together_with_sources`` says that opening its breaker also stops the island's sources.
    ``with_utility`` is what it does while the utility's neutral is there (``disconnected``, ``listed to stay``, ``stays connected``).
    ``shares_device_with`` is the tag of a circuit on the other pair of a four-pole device.
    """

    neutral_a: Value | None = None
    rating_kva: Value | None = None
    rating_means: str = ""
    peak_a: Value | None = None
    peak_s: Value | None = None
    device: OvercurrentDevice | None = None
    opens_together_with_sources: bool | None = None
    shares_device_with: str = ""
    with_utility: str = ""
    at: ProjectLine | None = None
