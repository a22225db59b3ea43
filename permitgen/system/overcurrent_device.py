"""Circuit breakers and fuses."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.values.origin import ProjectLine
    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True, kw_only=True)
class OvercurrentDevice:
    """A circuit breaker or a set of fuses. ``rating_a`` None asks the program to size it.

    ``are_poles_stated`` is False where the poles were taken from the circuit; a rule about poles that open together asks for them.
    ``kind`` is ``circuit breaker`` or ``fuse``; ``space`` is ``full``, ``half`` or ``quad``;
    ``highest_setting_a`` is the highest setting of an adjustable one and ``has_restricted_access`` whether only the qualified reach it;
    ``marked_line_and_load`` says that the device may not be back-fed; ``is_nonstandard`` that it exists in a rating outside the
    standard list; ``marked_voltage`` is what it is marked for (``120/240 V``, ``240 V``), empty where not stated.
    ``polarity`` is the conductor of a dc circuit in which a one-pole device sits (``positive``, ``negative``), empty where not stated.
    ``name`` is the words on its label, empty where it has none of its own; ``status`` is ``new``, ``existing``, ``relocated`` or empty.
    ``comes_with_hardware`` says that the catalog entry of its equipment describes it: nobody buys it apart.
    """

    kind: str = "circuit breaker"
    rating_a: Value | None = None
    poles: int = 2
    are_poles_stated: bool = True
    interrupting_rating_ka: Value | None = None
    space: str = "full"
    position: int | None = None
    marked_line_and_load: bool | None = None
    fastened: bool | None = None
    listed_for_100_percent: bool = False
    is_adjustable: bool = False
    highest_setting_a: Value | None = None
    has_restricted_access: bool | None = None
    is_nonstandard: bool = False
    marked_voltage: str = ""
    is_dc_rated: bool | None = None
    polarity: str = ""
    is_rating_unknown: bool = False
    answers: tuple[tuple[str, bool], ...] = ()
    name: str = ""
    status: str = ""
    comes_with_hardware: bool = False
    at: ProjectLine | None = None

    def answer(self, name: str) -> bool | None:
        """Return a yes-or-no fact of the device, or None where the project does not state it."""
        return dict(self.answers).get(name)
