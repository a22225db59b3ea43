"""Something a person can open to disconnect: a breaker, a switch, a shutdown button."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.system.place import Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Handle:
    """A handle. ``id`` is the tag, or tag and part (``MSP.main``); ``kind`` orders it on the placard.

    Kinds: ``service disconnect``, ``rapid shutdown initiator``, ``energy storage disconnect``, ``generator stop``,
    ``source disconnect``, ``generator plug``, ``disconnect``, ``main breaker``, ``breaker``. ``stops`` are sources it shuts down by control
    rather than by opening a conductor. ``label`` is the words on its label where it has some: then ``name`` is those, everywhere.
    """

    id: str
    tag: str
    name: str
    kind: str
    place: Place | None
    action: str = ""
    stops: tuple[str, ...] = ()
    lockable: bool | None = None
    label: str = ""
    is_fuse: bool = False
