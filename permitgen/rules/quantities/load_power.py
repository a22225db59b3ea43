"""Power and current of a load: as stated, else one from the other at the load's own voltage."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.currents import current_of_power_a
from permitgen.code.equations.loads import power_of_current_va
from permitgen.rules.given import MissingFactError
from permitgen.rules.quantities.circuit_current import line_to_line, line_to_neutral

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.load import Load
    from permitgen.values.value import Value


def load_volts(given: Given, load: Load) -> Value:
    """Return the voltage of a load: between the lines, or from its leg to the neutral."""
    return line_to_line(given) if load.leg == "both" else line_to_neutral(given)


def load_current(given: Given, load: Load) -> Value:
    """Return the current of a load, A.

    Raises:
        MissingFactError: neither its current nor its power is stated.
    """
    if load.current_a is not None:
        return load.current_a.named(f"I_{load.tag}")
    if load.power_va is None:
        raise MissingFactError(f"power of {load.tag}")
    return current_of_power_a.derive(
        power_va=load.power_va, volts_v=load_volts(given, load), symbol=f"I_{load.tag}", title=f"current of {load.name}"
    )


def load_power(given: Given, load: Load) -> Value:
    """Return the nameplate power of a load, VA.

    Raises:
        MissingFactError: neither its power nor its current is stated.
    """
    if load.power_va is not None:
        return load.power_va.named(f"S_{load.tag}", f"power of {load.name}")
    if load.current_a is None:
        raise MissingFactError(f"power of {load.tag}")
    return power_of_current_va.derive(
        current_a=load.current_a, volts_v=load_volts(given, load), symbol=f"S_{load.tag}", title=f"power of {load.name}"
    )
