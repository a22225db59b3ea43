"""Judges what was measured in the field: the same rules that the phone applies, applied again when results come home.

A line without an entry is *not done*, never a pass; a line that asks for a number passes only by its number. A reading is a whole: its
magnitude, the time it took, the other leg that was read with it. A default is a guide and never makes a pass.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from typing import Literal

from permitgen.code.equations.field_tests import expected_string_current_a, expected_string_voltage_v

TOLERANCE = 1e-9
_NUMBER = re.compile(r"[-+]?[0-9]{1,9}(?:\.[0-9]{0,6})?")

_EITHER = re.compile(r"[-+]?[1-9][0-9]{0,2},[0-9]{3}")

RuleKind = Literal["done", "number", "torque", "insulation", "string voltage", "string current", "text", "match", "record", "answer"]


class FieldVerdict(Enum):
    """How a line of the checklist stands."""

    PASSES = "passes"
    FAILS = "fails"
    DIFFERS = "built otherwise"
    RECORDED = "recorded"
    COULD_NOT_TEST = "could not be tested"
    NOT_DONE = "not done"

    def __str__(self) -> str:
        return self.value


@dataclass(frozen=True, slots=True, kw_only=True)
class InputLimit:
    """A further value that is part of the reading (input ``name``): needed, and between ``least`` and ``most`` (None: open).

    ``is_condition``: a value seen before the test. Outside of its limits nothing failed, but the test proves nothing. ``unit`` as typed.
    """

    name: str
    label: str
    least: float | None = None
    most: float | None = None
    is_condition: bool = False
    unit: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PassRule:
    """What an entry must be.

    ``number``: between ``least`` and ``most`` (None: open), in ``unit``; where only ``most`` stands its magnitude counts, for the
    sign of a meter is the direction of its leads (a time or a resistance has none, and passes by no number below zero); ``also`` are
    further values of the same reading. ``torque``: within
    ``tolerance_percent`` of what is marked on the equipment (input ``marked``), else of ``base``, which the project states as marked.
    ``insulation``: at least what instructions ask (input ``marked``); without that ``base`` is a guide: below it the reading fails, at
    it or above the reading is recorded and does not pass. ``string voltage``: ``count`` modules of ``base`` volts with
    ``coefficient`` percent per °C at the cell temperature (input ``cell``). ``string current``: ``base`` amperes at the
    irradiance in W/m² (input ``irradiance``). ``done``: a yes. ``match``: as drawn. ``text`` and ``record``: anything is kept;
    ``answer``, to a question of the survey, too, and that it could not be seen.
    """

    kind: RuleKind
    unit: str = ""
    least: float | None = None
    most: float | None = None
    base: float | None = None
    count: float | None = None
    coefficient: float | None = None
    reference: float | None = None
    tolerance_percent: float | None = None
    also: tuple[InputLimit, ...] = ()


@dataclass(frozen=True, slots=True)
class Judged:
    """A verdict, what it rests on in words of the program, and what the person said (free text, which is private)."""

    verdict: FieldVerdict
    why: str = ""
    said: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldEntry:
    """One entry for one line. ``answer`` is ``yes``, ``no``, ``value``, ``as drawn``, ``built otherwise`` or ``could not test``."""

    answer: str
    value: str = ""
    inputs: Mapping[str, str]
    reason: str = ""


def judge_entry(rule: PassRule, entry: FieldEntry | None) -> Judged:
    """Return the verdict of ``rule`` on the newest entry of a line; None means that there is none."""
    if entry is None:
        return Judged(FieldVerdict.NOT_DONE)
    if entry.answer == "could not test":
        has_reason = bool(entry.reason.strip())
        return Judged(FieldVerdict.COULD_NOT_TEST, said=entry.reason) if has_reason else Judged(FieldVerdict.NOT_DONE, "no reason given")
    if rule.kind == "done":
        verdicts = {"yes": FieldVerdict.PASSES, "no": FieldVerdict.FAILS}
        return Judged(verdicts.get(entry.answer, FieldVerdict.NOT_DONE), said=entry.reason)
    if rule.kind == "match":
        verdicts = {"as drawn": FieldVerdict.PASSES, "built otherwise": FieldVerdict.DIFFERS}
        return Judged(verdicts.get(entry.answer, FieldVerdict.NOT_DONE), said=entry.reason)
    if rule.kind in ("text", "answer"):
        return _judge_words(rule, entry)
    return _judge_number(rule, entry)


def _judge_words(rule: PassRule, entry: FieldEntry) -> Judged:
    if rule.kind == "answer" and entry.answer == "could not see":
        return Judged(FieldVerdict.COULD_NOT_TEST, said=entry.reason)
    return Judged(FieldVerdict.RECORDED if entry.value.strip() else FieldVerdict.NOT_DONE)


def _judge_number(rule: PassRule, entry: FieldEntry) -> Judged:
    measured = number_in(entry.value)
    if measured is None:
        return Judged(FieldVerdict.NOT_DONE, "a number is needed")
    if rule.kind == "record":
        return Judged(FieldVerdict.RECORDED)
    limits = _limits(rule, entry)
    if isinstance(limits, str):
        return Judged(FieldVerdict.NOT_DONE, limits)
    least, most = limits
    if not _within(measured, least, most):
        return Judged(FieldVerdict.FAILS, _count_fault(rule, entry, measured) or _outside(measured, least, most))
    if rule.kind == "insulation" and _marked(entry) is None:
        return Judged(FieldVerdict.RECORDED, "not below the guide; the least value of the instructions was not given")
    return _judge_also(rule, entry, measured)


_SIGNED = ("", "V", "A", "°C")
"""Units in which a reading may be below zero: leads the other way around, a current that goes back, frost."""

_CELL_C = (-40.0, 85.0)
"""What modules are rated to be operated at, °C (IEC 61730-1, from memory): beyond it nobody read a cell."""


def _is_no_reading(unit: str, measured: float) -> bool:
    return unit not in _SIGNED and measured < 0


def _below_zero(measured: float, unit: str) -> str:
    return f"{measured:g} {unit} is below zero; write it again"


def _judge_also(rule: PassRule, entry: FieldEntry, reading: float) -> Judged:
    """Judge the further values of a reading that is good by itself: one that fails outranks one that is missing."""
    missing = _below_zero(reading, rule.unit) if _is_no_reading(rule.unit, reading) else ""
    for limit in rule.also:
        measured = number_in(entry.inputs.get(limit.name, ""))
        if measured is None:
            missing = missing or f"{limit.label} is needed"
        elif _is_no_reading(limit.unit, measured):
            missing = missing or f"{limit.label}: {_below_zero(measured, limit.unit)}"
        elif limit.is_condition and not _within(measured, limit.least, limit.most):
            missing = missing or f"{limit.label}: {_outside(measured, limit.least, limit.most)}, so the test proves nothing"
        elif not _within(measured, limit.least, limit.most):
            return Judged(FieldVerdict.FAILS, f"{limit.label}: {_outside(measured, limit.least, limit.most)}")
    return Judged(FieldVerdict.NOT_DONE, missing) if missing else Judged(FieldVerdict.PASSES)


def _limits(rule: PassRule, entry: FieldEntry) -> tuple[float | None, float | None] | str:
    """Return the limits of an entry, or what is missing for them."""
    if rule.kind == "number":
        return rule.least, rule.most
    if rule.kind == "torque":
        target = _marked(entry) or rule.base
        return "give the value marked on the equipment" if target is None else _around(target, rule.tolerance_percent)
    if rule.kind == "insulation":
        return (_marked(entry) or rule.base), None
    cell = number_in(entry.inputs.get("cell", "")) if rule.kind == "string voltage" else None
    if cell is not None and not _CELL_C[0] <= cell <= _CELL_C[1]:
        return f"{cell:g} °C is no temperature of a cell; was it in °F?"
    expected = expected_of(rule, entry.inputs)
    if expected is None:
        return "the cell temperature is needed" if rule.kind == "string voltage" else "the irradiance is needed"
    return _around(expected, rule.tolerance_percent)


def _marked(entry: FieldEntry) -> float | None:
    """Return the value that equipment or instructions state; nothing states zero or less, so that such a value is none."""
    marked = number_in(entry.inputs.get("marked", ""))
    return marked if marked is not None and marked > 0 else None


def expected_of(rule: PassRule, inputs: Mapping[str, str]) -> float | None:
    """Return what a string should give under the measured conditions, None where a condition is not given."""
    if rule.kind == "string voltage" and rule.base is not None and rule.count is not None and rule.coefficient is not None:
        cell = number_in(inputs.get("cell", ""))
        return None if cell is None else expected_string_voltage_v(rule.count, rule.base, rule.coefficient, cell, rule.reference or 0.0)
    if rule.kind == "string current" and rule.base is not None:
        irradiance = number_in(inputs.get("irradiance", ""))
        return None if irradiance is None or irradiance <= 0 else expected_string_current_a(rule.base, irradiance / 1000)
    return None


def _count_fault(rule: PassRule, entry: FieldEntry, measured: float) -> str:
    """Say when a string voltage is off by about a whole number of modules: a count error, or polarity."""
    expected = expected_of(rule, entry.inputs) if rule.kind == "string voltage" else None
    if expected is None or not rule.count:
        return ""
    if measured < 0:
        return "polarity is reversed; do not connect this string"
    missing = (expected - measured) / (expected / rule.count)
    whole = math.floor(abs(missing) + 0.5)
    if whole == 0 or abs(abs(missing) - whole) > 0.25:
        return ""
    return f"about {whole} module{'s' if whole > 1 else ''} too {'few' if missing > 0 else 'many'} in the string"


def _around(target: float, tolerance_percent: float | None) -> tuple[float, float]:
    share = (tolerance_percent or 0.0) / 100
    return target * (1 - share), target * (1 + share)


def _within(measured: float, least: float | None, most: float | None) -> bool:
    slack = TOLERANCE * max(1.0, abs(measured))
    number = abs(measured) if least is None else measured
    return (least is None or number >= least - slack) and (most is None or number <= most + slack)


def _outside(measured: float, least: float | None, most: float | None) -> str:
    if least is not None and measured < least:
        return f"{measured:g} is less than {least:.4g}"
    shown = abs(measured) if least is None else measured
    return f"{shown:g} is more than {most:.4g}" if most is not None else ""


def number_in(text: str) -> float | None:
    """Return the number a person typed; None for anything else. A decimal comma is read as a point.

    ``2,400`` may be two thousand or two and a bit: it is neither.
    """
    plain = text.strip().replace("−", "-")
    return float(plain.replace(",", ".")) if _NUMBER.fullmatch(plain.replace(",", ".")) and not _EITHER.fullmatch(plain) else None
