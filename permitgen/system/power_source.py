"""A power production source as the graph sees it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True, kw_only=True)
class PowerSource:
    """A source at ``node``. ``kind`` is ``utility``, ``photovoltaic``, ``energy storage``, ``generator`` or ``vehicle``.

    ``output_a`` is its rated continuous output at the system voltage (None: not stated); ``forms_island`` says that it keeps a
    bus alive without the utility, with ``island_output_a`` where its output differs then; ``is_ac`` that it feeds ac. ``output_v``
    is its nameplate ac voltage between its ungrounded conductors, ``fault_current_a`` the marked maximum output fault current.
    """

    id: str
    tag: str
    name: str
    kind: str
    node: str
    output_a: Value | None = None
    island_output_a: Value | None = None
    forms_island: bool = False
    is_ac: bool = True
    fault_current_a: Value | None = None
    limit_a: Value | None = None
    output_v: Value | None = None
