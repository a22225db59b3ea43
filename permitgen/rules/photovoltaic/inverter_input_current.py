"""The strings on an inverter's input stay within the currents that the input is made for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.photovoltaic import strings_current_a
from permitgen.rules.judgement import Judgement, Verdict, all_of, at_most, does_not_apply, not_judged, require_at_most
from permitgen.rules.parts import parts_for, parts_of
from permitgen.rules.rule import rule
from permitgen.system.equipment.photovoltaic import PVArray
from permitgen.system.walks.dc_circuits import strings_joined
from permitgen.values.equation import one_or_sum_of
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.inverter import Inverter


@rule(
    "inverter-input-current",
    title="The strings on an inverter's input stay within the currents that the input is made for",
    provision="listed_and_instructed",
    judges="inverter",
)
def judge(inverter: Inverter, given: Given) -> Judgement:
    """Judge each dc input against the strings joined on it.

    Requires: sum of the short-circuit currents ≤ the largest short-circuit current of the input, or where nobody states that, ≤ its
        largest input current, which it bears at all times; above its largest input current the inverter leaves power behind, which
        deserves care.
    Why: an input that is shorted inside takes what the strings give; beyond its rating it burns before anything opens.
    Applies to: inputs of inverters with strings of modules; strings of converters give what the converters give.
    Example that fails: two strings of 12 A on an input that bears 18 A.
    Example that passes: one of them.
    """
    parts = parts_for(inverter.dc_inputs, lambda name: _at_input(inverter, name, given))
    if not parts:
        return does_not_apply(f"{inverter.tag}: no string of modules on its inputs")
    return all_of(f"{inverter.tag}: its inputs bear the strings on them", parts)


def _at_input(inverter: Inverter, name: str, given: Given) -> list[Judgement]:
    strings = strings_joined(given.system, f"{inverter.tag}.{name}")
    items = (given.system.equipment[source.tag] for source in strings)
    arrays = [item for item in items if isinstance(item, PVArray) and item.converter is None]
    if not arrays:
        return []
    where = f"{inverter.tag}.{name}"
    port = inverter.ports.get(name)
    bears = port.largest_short_circuit_a if port is not None else inverter.largest_short_circuit_a
    takes = port.largest_input_a if port is not None and port.largest_input_a is not None else inverter.largest_input_a
    found: list[Judgement] = []
    if bears is not None:
        found += parts_of(lambda: _bears(arrays, given, where, bears))
    else:
        found += parts_of(lambda: _bears_what_it_takes(arrays, given, where, takes if port is None else None))
    if takes is not None:
        found += parts_of(lambda: _takes(arrays, given, where, takes))
    return found


def _bears(arrays: list[PVArray], given: Given, where: str, limit: Value) -> Judgement:
    short = _sum(arrays, given, where, "counted_isc_a", "short-circuit current", "I_sc")
    message = f"{where}: {short.number:.4g} A short-circuit current on an input that bears {limit.figure} A"
    return require_at_most(message, computed=short, limit=limit)


def _bears_what_it_takes(arrays: list[PVArray], given: Given, where: str, takes: Value | None) -> Judgement | None:
    """Ask for the short-circuit current that the input bears, unless the strings stay within what it takes all day."""
    if takes is not None and at_most(_sum(arrays, given, where, "counted_isc_a", "short-circuit current", "I_sc"), takes):
        return None
    return not_judged(f"largest short-circuit current of input {where}")


def _takes(arrays: list[PVArray], given: Given, where: str, limit: Value) -> Judgement:
    working = _sum(arrays, given, where, "imp_a", "current at maximum power", "I_mp")
    message = f"{where}: {working.number:.4g} A at maximum power, the input takes {limit.figure} A"
    return require_at_most(message, computed=working, limit=limit, otherwise=Verdict.CAUTION)


def _sum(arrays: list[PVArray], given: Given, where: str, fact: str, what: str, symbol: str) -> Value:
    parts = []
    for tag in dict.fromkeys(array.tag for array in arrays):
        array = next(each for each in arrays if each.tag == tag)
        module = given.need(array.module, f"module of {tag}")
        joined = float(sum(each.tag == tag for each in arrays))
        count = Value(joined, "count", FromSystem(f"strings of {tag} joined at {where}"), "n", "strings in parallel")
        current = given.need(getattr(module, fact), f"{what} of {module.name}")
        title = f"{what} of the strings of {tag} at {where}"
        parts.append(strings_current_a.derive(strings_count=count, string_current_a=current, symbol=symbol, title=title))
    return one_or_sum_of(parts, symbol=symbol, title=f"{what} of the strings at {where}")
