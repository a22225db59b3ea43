"""What a panel's directory shows beside the circuits of the file: further breakers, spares, blank spaces."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.system.overcurrent_device import OvercurrentDevice


@dataclass(frozen=True, slots=True, kw_only=True)
class FurtherDevice:
    """A device on ``spaces`` whose circuit the file does not hold; ``load`` is the tag of a listed load that it serves, or empty."""

    spaces: tuple[int, ...]
    device: OvercurrentDevice
    load: str = ""
    is_spare: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Directory:
    """``further`` devices in the order of the file, and the ``blank`` spaces.

    ``removed`` are devices that stand there today and are taken out in this work: they are shown, and are no part of the system.
    """

    further: tuple[FurtherDevice, ...] = ()
    blank: tuple[int, ...] = ()
    removed: tuple[FurtherDevice, ...] = ()
