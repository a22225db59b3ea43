"""Areas of conductors, in circular mils: as the code's table of conductor properties prints them, or of the wire gauge itself."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.bonding import parallel_area_kcmil
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.values.conductor_size import ConductorSize


def area_of_size(given: Given, size: ConductorSize, symbol: str = "A", title: str = "") -> Value:
    """Return the area of a size, cmil; the table's own rounding is kept, because limits are compared on it.

    Raises:
        NotInTableError: the table has no such size.
    """
    return given.table("conductor_properties").at(("stranded", size), "area").named(symbol, title or f"area of {size}")


def area_of_gauge(size: ConductorSize, symbol: str, title: str) -> Value:
    """Return the area of a size by the definition of the wire gauge, cmil; for proportions, which the rounding of the table would break.

    The table prints 8 AWG 16 510, 6 AWG 26 240, 4 AWG 41 740, so that a conductor which grows by two gauges beside circuit conductors
    that grow by two gauges would miss by 1.5 cmil.
    """
    return Value(size.area_cmil, "cmil", FromSystem("definition of the wire gauge, ASTM B258"), symbol, title)


def area_of_sets(given: Given, circuit: Circuit) -> Value:
    """Return the area of an ungrounded conductor of the circuit, all parallel sets together, kcmil.

    Raises:
        MissingFactError: its size is not stated.
    """
    size = given.need(circuit.conductors.size, f"conductor size of {circuit.tag}")
    count = Value(float(circuit.conductors.sets), "count", FromSystem(f"parallel sets of {circuit.tag}"), "n", "parallel sets")
    return parallel_area_kcmil.derive(
        sets_count=count, area_cmil=area_of_size(given, size), title=f"area of the ungrounded conductors of {circuit.tag}"
    )
