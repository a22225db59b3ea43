"""A terminal: what may land on it and how it is tightened."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.system.overcurrent_device import OvercurrentDevice
    from permitgen.values.conductor_size import ConductorSize
    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True, kw_only=True)
class Terminal:
    """Terminal of a piece of equipment. ``None`` means not stated.

    ``accepts`` is the kind of source an input terminal is made for (``energy storage``, ``photovoltaic``, ``generator``);
    ``faces`` is the wall opposite the terminal (``top``, ``bottom``, ``left``, ``right``), ``is_lay_in`` says that its lug is
    removable or lay-in; ``built_in`` an overcurrent device that comes with the terminal; ``largest_device_a`` the largest one it takes.
    """

    name: str
    smallest: ConductorSize | None = None
    largest: ConductorSize | None = None
    materials: frozenset[str] = frozenset()
    conductors_per_terminal: Value | None = None
    temperature_c: Value | None = None
    torque_lbf_in: Value | None = None
    torque_source: str = ""
    fine_stranded: bool | None = None
    accepts: str = ""
    relay: str = ""
    rating_a: Value | None = None
    built_in: OvercurrentDevice | None = None
    largest_device_a: Value | None = None
    factory_conductor: ConductorSize | None = None
    faces: str = ""
    is_lay_in: bool | None = None
