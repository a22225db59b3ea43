"""What field measurements are compared with: figures of IEC 62446-1 and of practice, and the verdicts that rest on them."""

from __future__ import annotations

from dataclasses import replace

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.code.equations.field_tests import expected_string_current_a, expected_string_voltage_v
from permitgen.evaluation.field_verdict import FieldEntry, FieldVerdict, InputLimit, PassRule, judge_entry, number_in


# IEC 62446-1:2016+A1:2018, insulation resistance of dc circuits; values from memory.
@pytest.mark.parametrize(
    ("system_v", "test_v", "least"),
    [(60, 250, 0.5), (119, 250, 0.5), (120, 500, 1), (372, 500, 1), (500, 500, 1), (501, 1000, 1), (1000, 1000, 1), (1200, 1500, 1)],
)
def test_dc_insulation_table(system_v, test_v, least):
    table = CodeBook(2023).table("dc_insulation_test")
    assert table.band(system_v, "test").number == test_v
    assert table.band(system_v, "least").number == least


def test_expected_voltage_and_current_by_hand():
    """10 × 40 V × (1 − 0.0030 × (50 − 25)) = 370 V; 10 A × 640/1000 = 6.4 A (definition, IEC 62446-1)."""
    assert expected_string_voltage_v(10, 40, -0.30, 50, 25) == pytest.approx(370)
    assert expected_string_current_a(10, 0.64) == pytest.approx(6.4)


TORQUE = PassRule(kind="torque", base=50, tolerance_percent=4, unit="lbf·in")
STRING = PassRule(kind="string voltage", base=40, count=10, coefficient=-0.30, reference=25, tolerance_percent=10, unit="V")
SHUTDOWN = PassRule(kind="number", most=30, unit="V")
TIMED = PassRule(kind="number", most=30, unit="V", also=(InputLimit(name="elapsed", label="Seconds after initiation", most=30, unit="s"),))
LEGS = PassRule(kind="number", least=114, most=126, unit="V", also=(InputLimit(name="other_leg", label="Other leg", least=114, most=126),))
INSULATION = PassRule(kind="insulation", base=1, unit="MΩ")


def verdict(rule, value="", answer="value", reason="", **inputs):
    return judge_entry(rule, FieldEntry(answer=answer, value=value, inputs=inputs, reason=reason))


@pytest.mark.parametrize(
    ("value", "passes"), [("48", True), ("52", True), ("47.99", False), ("52.01", False), ("50", True), ("0", False), ("-50", False)]
)
def test_torque_passes_within_the_tools_tolerance(value, passes):
    """4 % of 50 lbf·in is 2 (ASME B107.300, from memory): 48 to 52."""
    assert verdict(TORQUE, value).verdict is (FieldVerdict.PASSES if passes else FieldVerdict.FAILS)


def test_a_marked_value_governs_over_the_default():
    assert verdict(TORQUE, "35").verdict is FieldVerdict.FAILS
    assert verdict(TORQUE, "35", marked="35").verdict is FieldVerdict.PASSES


@pytest.mark.parametrize("marked", ["0", "-1", "0.0"])
def test_nothing_is_marked_with_zero(marked):
    """No instructions ask for an insulation of 0 MΩ: 0.01 MΩ stays below the guide, and 50 MΩ is no pass without a marked value."""
    assert verdict(INSULATION, "0.01", marked=marked).verdict is FieldVerdict.FAILS
    assert verdict(INSULATION, "50", marked=marked).verdict is FieldVerdict.RECORDED
    assert verdict(replace(TORQUE, base=None), "0", marked=marked).verdict is FieldVerdict.NOT_DONE


@pytest.mark.parametrize(("value", "expected"), [("30", FieldVerdict.PASSES), ("30.01", FieldVerdict.FAILS), ("4,1", FieldVerdict.PASSES)])
def test_shutdown_limit(value, expected):
    """690.12(B)(1): 30 V is within the limit."""
    assert verdict(SHUTDOWN, value).verdict is expected


def test_nothing_entered_is_never_a_pass():
    for rule in (TORQUE, STRING, SHUTDOWN, PassRule(kind="done"), PassRule(kind="match"), PassRule(kind="text"), PassRule(kind="record")):
        assert judge_entry(rule, None).verdict is FieldVerdict.NOT_DONE
        assert verdict(rule, "").verdict is FieldVerdict.NOT_DONE
        assert verdict(rule, "", answer="yes").verdict is (FieldVerdict.PASSES if rule.kind == "done" else FieldVerdict.NOT_DONE)
        assert verdict(rule, "", answer="could not test").verdict is FieldVerdict.NOT_DONE
        assert verdict(rule, "", answer="could not test", reason="no sun").verdict is FieldVerdict.COULD_NOT_TEST


def test_a_string_that_is_a_module_short_is_named():
    """Nine modules of 37 V instead of ten at 50 °C: 333 V against 370 V, just outside ten percent only for fewer."""
    assert verdict(STRING, "370", cell="50").verdict is FieldVerdict.PASSES
    assert verdict(STRING, "296", cell="50").why == "about 2 modules too few in the string"
    assert verdict(STRING, "444", cell="50").why == "about 2 modules too many in the string"
    assert verdict(STRING, "-370", cell="50").why == "polarity is reversed; do not connect this string"
    assert verdict(STRING, "370").verdict is FieldVerdict.NOT_DONE


@pytest.mark.parametrize(
    ("rule", "value", "inputs", "expected", "why"),
    [
        (TIMED, "12", {"elapsed": "30"}, FieldVerdict.PASSES, ""),
        (TIMED, "12", {"elapsed": "600"}, FieldVerdict.FAILS, "Seconds after initiation: 600 is more than 30"),
        (TIMED, "12", {}, FieldVerdict.NOT_DONE, "Seconds after initiation is needed"),
        (TIMED, "12", {"elapsed": "−12"}, FieldVerdict.NOT_DONE, "Seconds after initiation: -12 s is below zero; write it again"),
        (TIMED, "380", {"elapsed": "−12"}, FieldVerdict.FAILS, "380 is more than 30"),
        (INSULATION, "-550", {"marked": "100"}, FieldVerdict.FAILS, "-550 is less than 100"),
        (PassRule(kind="number", most=25, unit="Ω"), "-12", {}, FieldVerdict.NOT_DONE, "-12 Ω is below zero; write it again"),
        (TIMED, "-380", {"elapsed": "12"}, FieldVerdict.FAILS, "380 is more than 30"),
        (TIMED, "380", {}, FieldVerdict.FAILS, "380 is more than 30"),
        (SHUTDOWN, "-240", {}, FieldVerdict.FAILS, "240 is more than 30"),
        (SHUTDOWN, "-3", {}, FieldVerdict.PASSES, ""),
        (LEGS, "118", {"other_leg": "121"}, FieldVerdict.PASSES, ""),
        (LEGS, "118", {"other_leg": "175"}, FieldVerdict.FAILS, "Other leg: 175 is more than 126"),
        (LEGS, "118", {}, FieldVerdict.NOT_DONE, "Other leg is needed"),
        (LEGS, "-118", {"other_leg": "121"}, FieldVerdict.FAILS, "-118 is less than 114"),
        (INSULATION, "0.9", {}, FieldVerdict.FAILS, "0.9 is less than 1"),
        (INSULATION, "550", {}, FieldVerdict.RECORDED, "not below the guide; the least value of the instructions was not given"),
        (INSULATION, "550", {"marked": "100"}, FieldVerdict.PASSES, ""),
        (INSULATION, "50", {"marked": "100"}, FieldVerdict.FAILS, "50 is less than 100"),
    ],
)
def test_a_reading_is_a_whole(rule, value, inputs, expected, why):
    """Rapid shutdown is 30 V within 30 s (690.12(B)(1)); legs, signs and guides: common practice, no published source."""
    judged = verdict(rule, value, **inputs)
    assert (judged.verdict, judged.why) == (expected, why)


@pytest.mark.parametrize(("cell", "is_read"), [("-40", True), ("85", True), ("86", False), ("104", False), ("-41", False), ("45", True)])
def test_a_cell_is_as_warm_as_a_cell_can_be(cell, is_read):
    """Modules are rated for operation from -40 to 85 °C (IEC 61730-1, from memory): 104 is a day in °F, and changes what is expected."""
    judged = verdict(STRING, "330", cell=cell)
    assert (judged.verdict is FieldVerdict.NOT_DONE) is not is_read
    assert ("°F" in judged.why) is not is_read


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("44,5", 44.5),
        ("−3", -3),
        (" 7 ", 7),
        ("+2.", 2),
        ("1e3", None),
        ("1_0", None),
        ("", None),
        ("4 5", None),
        ("0x10", None),
        ("٣", None),
        ("9" * 10, None),
    ],
)
def test_numbers_as_people_type_them(text, number):
    assert number_in(text) == number
