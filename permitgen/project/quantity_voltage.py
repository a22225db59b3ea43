"""Nominal voltages of a service, feeder or circuit: ``120/240 V``, ``208Y/120 V``, ``240 V``."""

from __future__ import annotations

import re
from dataclasses import dataclass

from permitgen.project.quantity_error import QuantityError
from permitgen.project.quantity_numbers import plain_text
from permitgen.reading.problems import quoted

_PAIR = re.compile(r"([1-9][0-9]{1,2}) ?(Y)? ?/ ?([1-9][0-9]{1,2}) ?V?(?: ?ac)?", re.IGNORECASE)
_SINGLE = re.compile(r"([0-9]{2,3}) ?V(?: ?ac)?", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class SystemVoltage:
    """A nominal voltage; ``form`` is ``split phase``, ``wye``, ``line to line`` or ``line to neutral``."""

    line_to_line_v: float | None
    line_to_neutral_v: float | None
    form: str


# The nominal voltages NEC 220.5(A) computes loads with: from memory, common practice.
_SYSTEMS = {
    "120/240 V": SystemVoltage(240.0, 120.0, "split phase"),
    "208Y/120 V": SystemVoltage(208.0, 120.0, "wye"),
    "480Y/277 V": SystemVoltage(480.0, 277.0, "wye"),
    "600Y/347 V": SystemVoltage(600.0, 347.0, "wye"),
    "120 V": SystemVoltage(None, 120.0, "line to neutral"),
    "208 V": SystemVoltage(208.0, None, "line to line"),
    "240 V": SystemVoltage(240.0, None, "line to line"),
    "277 V": SystemVoltage(None, 277.0, "line to neutral"),
    "347 V": SystemVoltage(None, 347.0, "line to neutral"),
    "480 V": SystemVoltage(480.0, None, "line to line"),
    "600 V": SystemVoltage(600.0, None, "line to line"),
}
_BY_PAIR = {(voltage.line_to_neutral_v, voltage.line_to_line_v): voltage for voltage in _SYSTEMS.values()}


def parse_system_voltage(text: str) -> SystemVoltage:
    """Return the system ``text`` names; the two voltages of a pair may stand in either order.

    Raises:
        QuantityError: not a nominal voltage; the message names the nearest.
    """
    plain = plain_text(text)
    pair = _PAIR.fullmatch(plain)
    if pair is not None:
        return _system_of_pair(plain, float(pair[1]), float(pair[3]), is_wye=pair[2] is not None)
    single = _SINGLE.fullmatch(plain)
    if single is None:
        wording = "needs a unit" if re.fullmatch(r"[0-9]{2,3}", plain) else "is not a nominal ac voltage"
        raise QuantityError(f'{quoted(plain)} {wording}, for example "120/240 V" or "240 V"')
    found = _SYSTEMS.get(f"{single[1]} V")
    if found is None:
        volts = float(single[1])
        singles = {float(name.removesuffix(" V")): name for name in _SYSTEMS if "/" not in name}
        raise QuantityError(_refusal(plain, singles[min(singles, key=lambda nominal: abs(nominal - volts))]))
    return found


def _system_of_pair(plain: str, first: float, second: float, *, is_wye: bool) -> SystemVoltage:
    low, high = sorted((first, second))
    found = _BY_PAIR.get((low, high))
    if found is None or (is_wye and found.form != "wye"):
        raise QuantityError(_refusal(plain, _nearest_pair(low, high)))
    return found


def _nearest_pair(low: float, high: float) -> str:
    """Name the nearest system of the same kind: 110/220 is a split phase like 120/240, 127/220 a wye like 208Y/120."""

    def distance(name: str) -> tuple[float, float]:
        system = _SYSTEMS[name]
        nominal_low, nominal_high = system.line_to_neutral_v or 0.0, system.line_to_line_v or 0.0
        return round(abs(high / low - nominal_high / nominal_low), 1), abs(high - nominal_high)

    return min((name for name in _SYSTEMS if "/" in name), key=distance)


def _refusal(plain: str, nearest: str) -> str:
    return f'{quoted(plain)} is not a nominal voltage; did you mean "{nearest}"?'
