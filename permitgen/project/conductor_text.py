"""Sizes of conductors and raceways as people write them. Neither is a number: ``4 AWG`` is smaller than ``2 AWG``."""

from __future__ import annotations

import re

from permitgen.project.quantity_error import QuantityError
from permitgen.project.quantity_numbers import plain_text
from permitgen.reading.problems import quoted
from permitgen.values.conductor_size import ALL_SIZES, ConductorSize
from permitgen.values.trade_size import TRADE_SIZES, trade_size_in

_BY_NAME = {size.name: size for size in ALL_SIZES}
_BY_TEXT = {str(size): size for size in ALL_SIZES}
_GAUGE = re.compile(r"(?:#|no\.? ?)?([0-9]+(?:/0)?) ?-?(awg|kcmil|mcm|ga|gauge)?|awg ?#?([0-9]+(?:/0)?)", re.IGNORECASE)
_ZEROS = re.compile(r"#?(0{1,4}) ?-?(?:awg|ga)?", re.IGNORECASE)
_CABLE = re.compile(r"([0-9]{1,2})[-/]([2-9])(?: .*)?", re.IGNORECASE)
_SETS = re.compile(r"[0-9]+ ?[x*] ?.*|\([0-9]+\) ?.*|[0-9]+ ?- ?#.*", re.IGNORECASE)
_METRIC = re.compile(r"[0-9.]+ ?(?:mm²|mm2|mm\^2|sq\.? ?mm|qmm)", re.IGNORECASE)
_EXAMPLE = 'for example "6 AWG", "1/0 AWG" or "250 kcmil"'
# Letters taken for digits, by eye and by text recognition.
_MISREAD = str.maketrans({"O": "0", "o": "0", "Q": "0", "l": "1", "I": "1", "|": "1"})

_TRADE = re.compile(
    r"(?:([0-9]{1,2})(?:[ -]([0-9]{1,2})/([0-9]{1,2}))?"  # 1, 1-1/4, 1 1/4
    r"|([0-9]{1,2})/([0-9]{1,2})"  # 3/4
    r"|([0-9]?\.[0-9]{1,3}))"  # 1.25
    r" ?-?(?:in\.?|inch|inches|\"|'')?",
    re.IGNORECASE,
)
_BY_INCHES = {trade_size_in(name): name for name in TRADE_SIZES}
# NEC Table 300.1(C), metric designators: from memory.
_METRIC_DESIGNATORS = dict(zip(("12", "16", "21", "27", "35", "41", "53", "63", "78", "91", "103", "129", "155"), TRADE_SIZES, strict=True))
_DESIGNATOR = re.compile(r"([0-9]{2,3}) ?(?:mm)?", re.IGNORECASE)


def parse_conductor_size(text: str) -> ConductorSize:
    """Return the standard size ``text`` names: ``6 AWG``, ``1/0 AWG``, ``250 kcmil``; ``1/0`` and ``250 MCM`` are read too.

    Raises:
        QuantityError: no standard size, or ambiguous (``4`` may be ``4 AWG`` or ``4/0 AWG``); the message names what is near.
    """
    found = _BY_TEXT.get(text)
    if found is not None:
        return found
    plain = plain_text(text)
    gauge = _GAUGE.fullmatch(plain)
    if gauge is None:
        raise QuantityError(_not_a_size(plain))
    name = gauge[1] or gauge[3]
    unit = "AWG" if gauge[3] else (gauge[2] or "").lower().replace("mcm", "kcmil").replace("gauge", "awg").replace("ga", "awg")
    size = _BY_NAME.get(name)
    if size is None:
        raise QuantityError(_not_standard(plain, name, unit))
    if not unit and "/" not in name:
        raise QuantityError(_bare(plain, name))
    if unit and size.is_kcmil != (unit == "kcmil"):
        raise QuantityError(f'{quoted(plain)} is not a conductor size; did you mean "{size}"?')
    return size


def _not_a_size(plain: str) -> str:
    if not plain:
        return f"the value is empty; expected a conductor size, {_EXAMPLE}"
    reread = plain.translate(_MISREAD)
    again = _GAUGE.fullmatch(reread)
    if again is not None and reread != plain and (again[1] or again[3]) in _BY_NAME:
        size = _BY_NAME[again[1] or again[3]]
        digits = " (digit zero)" if size.name.endswith("/0") else ""
        return f'{quoted(plain)} is not a conductor size; did you mean "{size}"{digits}?'
    if _METRIC.fullmatch(plain):
        return f"{quoted(plain)} is a metric size; write the size in AWG or kcmil, {_EXAMPLE}"
    cable = _CABLE.fullmatch(plain)
    if cable is not None and cable[1] in _BY_NAME:
        return f'{quoted(plain)} names a cable of {cable[2]} conductors; write the size alone, "{cable[1]} AWG"'
    if _SETS.fullmatch(plain):
        return f"{quoted(plain)} gives a number of conductors too; write the size alone, {_EXAMPLE}"
    return f"{quoted(plain)} is not a conductor size; expected a size, {_EXAMPLE}"


def _bare(plain: str, name: str) -> str:
    over_zero = f"{name}/0"
    if over_zero in _BY_NAME:
        return f'{quoted(plain)} is ambiguous; write "{name} AWG" or "{over_zero} AWG"'
    return f'{quoted(plain)} needs a unit; write "{_BY_NAME[name]}"'


def _not_standard(plain: str, name: str, unit: str) -> str:
    zeros = _ZEROS.fullmatch(plain)
    if zeros is not None:
        return f'{quoted(plain)} is not a standard conductor size; did you mean "{len(zeros[1])}/0 AWG"?'
    if "/" in name:
        return f'{quoted(plain)} is not a standard conductor size; expected "1/0 AWG" to "4/0 AWG"'
    wants_kcmil = unit == "kcmil" or (not unit and int(name) > 100)
    numbers = {int(size.name): size for size in ALL_SIZES if "/" not in size.name and size.is_kcmil == wants_kcmil}
    typed = int(name)
    around = [max((n for n in numbers if n < typed), default=None), min((n for n in numbers if n > typed), default=None)]
    listed = " or ".join(f'"{numbers[n]}"' for n in around if n is not None)
    return f"{quoted(plain)} is not a standard conductor size; nearest: {listed}"


def parse_trade_size(text: str) -> str:
    """Return the name of ``values.trade_size.TRADE_SIZES`` that ``text`` means: ``1-1/4 in`` gives ``1-1/4``.

    Raises:
        QuantityError: not a trade size; the message names the nearest, or the one a metric designator stands for.
    """
    plain = plain_text(text)
    metric = _DESIGNATOR.fullmatch(plain)
    if metric is not None and metric[1] in _METRIC_DESIGNATORS:
        trade = _METRIC_DESIGNATORS[metric[1]]
        raise QuantityError(f'{quoted(plain)} is the metric designator of trade size {trade}; write "{trade} in"')
    found = _TRADE.fullmatch(plain)
    inches = None if found is None else _inches(found)
    if inches is None:
        raise QuantityError(f'{quoted(plain)} is not a trade size; expected one, for example "3/4 in" or "1-1/4 in"')
    name = _BY_INCHES.get(inches)
    if name is None:
        below = max((size for size in _BY_INCHES if size < inches), default=None)
        above = min((size for size in _BY_INCHES if size > inches), default=None)
        listed = " or ".join(f'"{_BY_INCHES[size]} in"' for size in (below, above) if size is not None)
        raise QuantityError(f"{quoted(plain)} is not a trade size; nearest: {listed}")
    return name


def _inches(found: re.Match[str]) -> float | None:
    whole, mixed_over, mixed_under, over, under, decimal = found.groups()
    if decimal is not None:
        return float(decimal)
    top, bottom = (mixed_over, mixed_under) if whole is not None else (over, under)
    if bottom is not None and int(bottom) == 0:
        return None
    return float(whole or 0) + (int(top) / int(bottom) if bottom is not None else 0.0)
