"""Ports of an inverter, and the transfer relay that some hold between two of them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.values.value import Value

AC_PORTS = ("utility", "load", "generator")
DC_PORTS = ("photovoltaic", "battery")
PORT_KINDS = (*AC_PORTS, *DC_PORTS)


@dataclass(frozen=True, slots=True, kw_only=True)
class Port:
    """A port. ``kind`` is one of ``PORT_KINDS``; ``is_ac`` says what it carries. Ratings are those of the data sheet; None: not stated.

    ``largest_device_a`` is the largest overcurrent device (or fuse) that may stand ahead of it; ``largest_short_circuit_a`` what a PV
    input bears. ``when_lost`` says what the port does when the utility fails: ``stops``, ``islands``, ``only behind a relay``.
    """

    name: str
    kind: str
    largest_output_a: Value | None = None
    largest_input_a: Value | None = None
    largest_short_circuit_a: Value | None = None
    largest_voltage_v: Value | None = None
    lowest_voltage_v: Value | None = None
    largest_device_a: Value | None = None
    when_lost: str = ""

    @property
    def is_ac(self) -> bool:
        """Whether the port carries alternating current."""
        return self.kind in AC_PORTS


@dataclass(frozen=True, slots=True, kw_only=True)
class TransferRelay:
    """The relay inside an inverter that parts its utility port from its load port when the utility is lost.

    ``switches_neutral`` None means not stated; ``listed_as`` what the listing of the inverter says the relay is good for.
    """

    carries_a: Value | None = None
    withstand_ka: Value | None = None
    poles: int | None = None
    switches_neutral: bool | None = None
    listed_as: frozenset[str] = frozenset()
