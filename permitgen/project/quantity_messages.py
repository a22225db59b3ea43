"""What to say of a text that is not the quantity its field asks for. Runs on the way out only, so it may be slow."""

from __future__ import annotations

import re
from difflib import get_close_matches

from permitgen.project.quantity_dictionary import kind_of_word, size_of_word
from permitgen.project.quantity_numbers import Number
from permitgen.project.quantity_units import ANY_CASE, AS_WRITTEN, BY_SUFFIX, Unit, unit_key
from permitgen.reading.problems import quoted
from permitgen.values.units import printed_unit

EXAMPLES: dict[str, tuple[str, ...]] = {
    "a": ("48 A",),
    "ka": ("10 kA",),
    "v": ("240 V",),
    "va": ("1500 VA",),
    "kva": ("25 kVA",),
    "w": ("405 W",),
    "kw": ("7.6 kW",),
    "kwh": ("12.4 kWh",),
    "ohm": ("0.5 Ω",),
    "megohm": ("500 MΩ",),
    "ohm_per_kft": ("0.778 Ω/kft",),
    "ft": ("35 ft", "10.7 m"),
    "kft": ("0.35 kft", "107 m"),
    "ft2": ("1850 ft²", "172 m²"),
    "in": ("36 in", "914 mm"),
    "in2": ("0.5 in²", "323 mm²"),
    "in3": ("30.3 in³",),
    "kcmil": ("250 kcmil",),
    "cmil": ("26240 cmil",),
    "c": ("-23 °C", "-10 °F"),
    "f": ("77 °F", "25 °C"),
    "rise_c": ("30 °C", "54 °F"),
    "percent_per_c": ("-0.27 %/°C",),
    "v_per_c": ("-0.16 V/°C",),
    "lbf_in": ("45 lbf-in", "5.1 N·m"),
    "lb": ("48 lb", "22 kg"),
    "psf": ("35 psf", "1.7 kPa"),
    "s": ("10 s", "5 min"),
    "hz": ("60 Hz",),
    "va_per_ft2": ("3 VA/ft²",),
    "factor": ("0.95",),
    "percent": ("2 %",),
    "count": ("8",),
    "deg": ("18°",),
}
_LEAST_SUGGESTED, _MOST_SUGGESTED = 1e-3, 1e6
_LONGEST_SYMBOL = 4
_MASS_NOUNS = {"power", "apparent power", "reactive power", "energy", "torque"}
UNITLESS = {"factor", "count"}
_RELATED = {"power", "apparent power", "reactive power", "energy"}
_SYSTEM_VOLTAGE = re.compile(r"[0-9]{2,3}Y?/[0-9]{2,3} ?V", re.IGNORECASE)
_FEET_THEN_NUMBER = re.compile(r"[0-9]+ ?(?:'|ft|feet)[ -]*[0-9][0-9 /.-]*")
_PITCH = re.compile(r"([0-9]{1,2}) ?[:/] ?12")


def an(kind: str) -> str:
    """Return the kind of quantity with its article: ``a current``, ``an area``, ``power``."""
    if kind in _MASS_NOUNS:
        return kind
    return f"an {kind}" if kind[0] in "aeiou" else f"a {kind}"


def expected(unit_suffix: str) -> str:
    """Return ``a length, for example "35 ft" or "10.7 m"``."""
    return f"{an(BY_SUFFIX[unit_suffix].kind)}, {examples(unit_suffix)}"


def examples(unit_suffix: str) -> str:
    """Return ``for example "35 ft" or "10.7 m"``."""
    return "for example " + " or ".join(f'"{example}"' for example in EXAMPLES[unit_suffix])


def no_number(text: str, unit_suffix: str) -> str:
    """Return the message for a text that starts with no number."""
    kind = BY_SUFFIX[unit_suffix].kind
    if not text:
        return f"the value is empty; expected {expected(unit_suffix)}"
    form = "a plain number" if kind in UNITLESS else "a number and a unit"
    return f"{quoted(text)} is not {an(kind)}; write it as {form}, {examples(unit_suffix)}"


def none_fits(text: str, unit: Unit | None, unit_suffixes: tuple[str, ...]) -> str:
    """Return the message for a text that fits none of several kinds of quantity."""
    kinds = " or ".join(dict.fromkeys(an(BY_SUFFIX[suffix].kind) for suffix in unit_suffixes))
    shown = " or ".join(f'"{EXAMPLES[suffix][0]}"' for suffix in unit_suffixes)
    found = f"is {an(unit.kind)}; expected {kinds}" if unit is not None else f"is not {kinds}"
    if re.fullmatch(r"[-+0-9.,]+", text):
        found = "needs a unit"
    return f"{quoted(text)} {found}, for example {shown}"


def no_unit(text: str, unit_suffix: str) -> str:
    """Return the message for a bare number."""
    return f"{quoted(text)} needs a unit, {examples(unit_suffix)}"


def wrong_kind(text: str, number: Number, unit: Unit, unit_suffix: str) -> str:
    """Return the message for a known unit of another kind of quantity."""
    wanted = BY_SUFFIX[unit_suffix].kind
    figure = text[: len(text) - len(number.rest)].strip()
    if unit.kind in _RELATED and wanted in _RELATED:
        unit_printed = printed_unit(unit_suffix)
        return f'{number.rest} is {unit.kind}; {wanted} is in {unit_printed}; write "{figure} {unit_printed}" if {figure} is the {wanted}'
    if unit.kind == "angle" and wanted.startswith("temperature"):
        return f'{quoted(text)}: which degrees? write "{figure} °C" or "{figure} °F"'
    return f"{quoted(text)} is {an(unit.kind)}; expected {expected(unit_suffix)}"


def unknown_unit(text: str, number: Number, unit_suffix: str) -> str:
    """Return the message for what follows the number and is no unit read here."""
    wanted = BY_SUFFIX[unit_suffix]
    odd = _odd_form(text, number.rest, wanted.kind)
    if odd is not None:
        return f"{quoted(text)} {odd}, {examples(unit_suffix)}"
    figure = text[: len(text) - len(number.rest)].strip()
    spelled = _near_spelling(number.rest, wanted.kind)
    if spelled is not None:
        return f'{quoted(text)} is not {an(wanted.kind)}; did you mean "{figure} {spelled}"?'
    return _said_by_dictionary(text, number, unit_suffix)


def _odd_form(text: str, rest: str, kind: str) -> str | None:
    """Name a form that is something else as a whole, whatever its unit."""
    if _SYSTEM_VOLTAGE.match(text):
        return f"names a system of two voltages; expected {an(kind)}"
    if kind == "length" and _FEET_THEN_NUMBER.fullmatch(text):
        return 'needs a unit at its end too, as in "5 ft 6 in"'
    if kind == "angle" and _PITCH.fullmatch(text):
        return "is a roof pitch; expected an angle"
    if rest[0].isdigit():
        return f"is not {an(kind)}: write a number without spaces between its digits"
    if rest[0] in "/-:,":
        return f"is not {an(kind)}; write it as a number and a unit"
    return None


def _said_by_dictionary(text: str, number: Number, unit_suffix: str) -> str:
    wanted = BY_SUFFIX[unit_suffix]
    word = unit_key(number.rest)
    size = size_of_word(word, wanted)
    value = number.over / number.under * size if size is not None else 0.0
    if _LEAST_SUGGESTED <= abs(value) < _MOST_SUGGESTED:
        converted = f"{value:.6g} {printed_unit(unit_suffix)}"
        return f'the unit "{number.rest}" is not read; {quoted(text)} is {converted}: write "{converted}" if that is meant'
    kind = kind_of_word(word)
    if kind is not None and kind != wanted.kind:
        return f"{quoted(text)} is {an(kind)}; expected {expected(unit_suffix)}"
    return f'{quoted(text)} is not {an(wanted.kind)}: the unit "{number.rest}" is not read; write {examples(unit_suffix)}'


def _near_spelling(rest: str, kind: str) -> str | None:
    """Return the spelling that was nearly typed, None where what is near is of several sizes: ``kA`` is never named for ``A``."""
    key = unit_key(rest)
    spelled = [word for word, unit in (AS_WRITTEN | ANY_CASE).items() if unit.kind == kind]
    has_mega = any(word.startswith("M") for word in spelled)
    near = [word for word in spelled if _may_be_meant(key, word, has_mega=has_mega)]
    lowered = {word.lower(): word for word in reversed(near)}
    found = [lowered[word] for word in get_close_matches(key.lower(), lowered, n=5, cutoff=0.75)]
    sizes = {(AS_WRITTEN.get(word) or ANY_CASE[word])[1:3] for word in found}
    return found[0] if len(sizes) == 1 else None


def _may_be_meant(typed: str, word: str, *, has_mega: bool) -> bool:
    """Whether a spelling begins as what was typed: a first letter multiplies by a thousand, and m is no M where either is read."""
    first, its = typed[:1], word[:1]
    if first.lower() != its.lower():
        return False
    return first == its or len(word) > _LONGEST_SYMBOL or not (first == "m" or (first == "M" and has_mega))


def out_of_range(text: str, number: float, unit_suffix: str, minimum: float | None, maximum: float | None) -> str:
    """Return the message for a value outside what its field accepts."""
    unit = printed_unit(unit_suffix)
    unit = f" {unit}" if unit else ""
    if minimum is not None and maximum is not None:
        accepted = f"accepted: {minimum:g} to {maximum:g}{unit}"
    elif minimum is not None:
        accepted = f"at least {minimum:g}{unit} was expected"
    else:
        accepted = f"at most {maximum:g}{unit} was expected"
    lost_minus = maximum is not None and number > maximum and minimum is not None and minimum <= -number <= maximum
    hint = f'; missing minus sign? write "-{text}"' if lost_minus else ""
    return f"{quoted(text)} is out of range; {accepted}{hint}"
