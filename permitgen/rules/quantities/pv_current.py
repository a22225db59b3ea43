"""The maximum current of PV direct-current circuits."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING

from permitgen.code.equations.currents import pv_source_circuit_current_a
from permitgen.rules.given import MissingFactError
from permitgen.system.equipment.inverter import Inverter
from permitgen.system.equipment.photovoltaic import PVArray
from permitgen.system.walks.in_series import devices_in_series
from permitgen.values.equation import selected, sum_of
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit, End
    from permitgen.system.power_source import PowerSource

STRINGS = "125 percent of the short-circuit current of the strings in parallel"
CONVERTERS = "rated output current of the dc-to-dc converters"
INPUT = "rated input current of the inverter, behind a device that protects the conductors"


def pv_dc_current(given: Given, circuit: Circuit, strings: list[PowerSource]) -> tuple[Value, str]:
    """Return the maximum current of a PV dc circuit that ``strings`` feed, A, and its basis in words.

    The current of the array; or, from the edition that permits it, the rated input current of the inverter where an
    overcurrent device on the circuit protects its conductors, whichever is less.

    Raises:
        MissingFactError: a string's module or converter does not state its current.
    """
    current, basis = array_current(given, circuit.tag, strings)
    rated = rated_input_current(given, circuit)
    protected = bool(devices_in_series(given.system, circuit))
    if rated is None or not protected or not given.in_force("pv_converter_input_current") or rated.number >= current.number:
        return current, basis
    least = selected(
        rated.number,
        "a",
        by="smaller of",
        inputs=(current, rated),
        symbol="I_max",
        title=f"maximum current of {circuit.tag}",
        provision=given.provision("pv_converter_input_current"),
    )
    return least, INPUT


def array_current(given: Given, tag: str, strings: list[PowerSource]) -> tuple[Value, str]:
    """Return the current the strings can give together, A, and its basis in words."""
    if not strings:
        raise MissingFactError(f"PV strings on {tag}")
    parts = [_of_array(given, array, len(list(group))) for array, group in groupby(strings, key=lambda source: source.tag)]
    basis = (
        CONVERTERS if all(isinstance(a := given.system.equipment[s.tag], PVArray) and a.converter is not None for s in strings) else STRINGS
    )
    if len(parts) == 1:
        return parts[0], basis
    provision = given.provision("pv_output_circuit_current")
    return sum_of(parts, symbol="I_max", title=f"sum of the maximum currents joined on {tag}", provision=provision), basis


def _of_array(given: Given, tag: str, number: int) -> Value:
    array = given.system.equipment[tag]
    assert isinstance(array, PVArray)  # noqa: S101 - the source's kind says so
    count = Value(
        float(number), "count", FromSystem(f"strings of {tag} joined on this circuit, counted on the graph"), "n", "strings in parallel"
    )
    if array.converter is not None:
        each = given.need(array.converter.output_a, f"output current of the converters of {tag}").named(
            "I", "rated output current of the converter"
        )
        if number == 1:
            return each
        return sum_of(
            [each] * number,
            symbol="I",
            title=f"output current of {number} strings of converters",
            provision=given.provision("pv_converter_current"),
        )
    module = given.need(array.module, f"module of {tag}")
    provision = given.provision("pv_circuit_current")
    return pv_source_circuit_current_a.derive(
        short_circuit_factor=provision.value("irradiance_factor"),
        strings_count=count,
        short_circuit_current_a=given.need(module.counted_isc_a, f"short-circuit current of {module.name}"),
        provision=provision,
    )


def rated_input_current(given: Given, circuit: Circuit) -> Value | None:
    """Return the rated input current of the inverter input on which a circuit lands, None where it lands on none."""
    return next((found for end in circuit.ends if (found := _input_at(given, end)) is not None), None)


def _input_at(given: Given, end: End) -> Value | None:
    item = given.system.equipment[end.tag]
    if not isinstance(item, Inverter) or not item.is_dc_at(end.terminal):
        return None
    port, terminal = item.ports.get(end.terminal), item.terminals.get(end.terminal)
    own = port.largest_input_a if port is not None else terminal.rating_a if terminal is not None else None
    stated = own if own is not None else item.largest_input_a
    return stated.named("I_input", f"rated input current of {end}") if stated is not None else None
