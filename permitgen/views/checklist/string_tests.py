"""Tests of PV source circuits, string by string; of microinverters, branch by branch."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.code.equations.field_tests import expected_string_voltage_v
from permitgen.evaluation.field_verdict import PassRule
from permitgen.system.equipment.photovoltaic import PVArray
from permitgen.views.checklist.line import ChecklistLine, ChecklistSection, FurtherInput, done_line, place_of, practice, record_line
from permitgen.views.wording import number_text, value_text

if TYPE_CHECKING:
    from permitgen.code.provision import Provision
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.values.value import Value

_CELL = FurtherInput("cell", "Cell temperature", "°C")
_IRRADIANCE = FurtherInput("irradiance", "Irradiance", "W/m²")


def string_tests(evaluation: Evaluation) -> ChecklistSection:
    """Return polarity, open-circuit voltage and current of each string, or the tests of branches of microinverters."""
    lines = [line for item in evaluation.system.equipment.values() if isinstance(item, PVArray) for line in _array(evaluation, item)]
    intro = "Polarity before anything is closed. Never open a reversed string under load."
    return ChecklistSection("strings", "PV circuits", intro, tuple(lines))


def _array(evaluation: Evaluation, array: PVArray) -> Iterator[ChecklistLine]:
    for name, modules in array.strings.items():
        yield from _string(evaluation, array, name, modules)
    for name, units in array.branches.items():
        yield from _branch(evaluation, array, name, units)


def _string(evaluation: Evaluation, array: PVArray, name: str, modules: Value) -> Iterator[ChecklistLine]:
    test = practice(evaluation, "string_expectation")
    where = place_of(evaluation, array.tag)
    yield done_line(
        f"polarity:{array.tag}.{name}",
        array.tag,
        f"String {name}: polarity correct at both ends and marked",
        "62446",
        source="IEC 62446-1",
        place=where,
    )
    module = array.module
    if array.converter is not None or module is None:
        yield record_line(
            f"standby:{array.tag}.{name}",
            array.tag,
            f"String {name}: standby voltage; {value_text(modules)} units in series, compare with the voltage each keeps in standby",
            "V",
            "INST",
            source=practice(evaluation, "listed_and_instructed").citation,
            place=where,
        )
        return
    yield from _voltage(evaluation, array, name, modules, test)
    if module.isc_a is not None:
        yield ChecklistLine(
            id=f"isc:{array.tag}.{name}",
            tag=array.tag,
            instruction=f"String {name}: short-circuit current with its irradiance",
            rule=PassRule(
                kind="string current", unit="A", base=module.isc_a.number, tolerance_percent=test.value("tolerance_percent").number
            ),
            basis="62446",
            expected=f"{value_text(module.isc_a)} × irradiance ÷ 1000 W/m²",
            limit=_tolerance(test),
            source=test.citation,
            place=where,
            inputs=(_IRRADIANCE,),
        )


def _voltage(evaluation: Evaluation, array: PVArray, name: str, modules: Value, test: Provision) -> Iterator[ChecklistLine]:
    module = array.module
    if module is None or module.voc_v is None or module.voc_percent_per_c is None:
        yield record_line(
            f"voc:{array.tag}.{name}",
            array.tag,
            f"String {name}: open-circuit voltage (no module data to compare with)",
            "V",
            "62446",
            source="IEC 62446-1",
        )
        return
    reference = practice(evaluation, "standard_test_temperature").value("reference_c")
    at_reference = expected_string_voltage_v.derive(
        modules_count=modules,
        open_circuit_v=module.voc_v,
        coefficient_percent_per_c=module.voc_percent_per_c,
        cell_c=reference,
        reference_c=reference,
    )
    yield ChecklistLine(
        id=f"voc:{array.tag}.{name}",
        tag=array.tag,
        instruction=f"String {name}: open-circuit voltage with its cell temperature; a reversed string is entered with a minus",
        rule=PassRule(
            kind="string voltage",
            unit="V",
            base=module.voc_v.number,
            count=modules.number,
            coefficient=module.voc_percent_per_c.number,
            reference=reference.number,
            tolerance_percent=test.value("tolerance_percent").number,
        ),
        basis="62446",
        expected=f"{value_text(at_reference)} at {value_text(reference)}, {value_text(module.voc_percent_per_c)}",
        limit=_tolerance(test),
        why=f"{value_text(modules)} modules of {value_text(module.voc_v)} in series; identical strings agree within "
        f"{value_text(practice(evaluation, 'string_likeness').value('tolerance_percent'))}",
        source=test.citation,
        place=place_of(evaluation, array.tag),
        inputs=(_CELL,),
    )


def _tolerance(test: Provision) -> str:
    return f"within {number_text(test.value('tolerance_percent').number, 'percent')} % of that"


def _branch(evaluation: Evaluation, array: PVArray, name: str, units: Value) -> Iterator[ChecklistLine]:
    where = place_of(evaluation, array.tag)
    yield done_line(
        f"branch:{array.tag}.{name}",
        array.tag,
        f"Branch {name}: {value_text(units)} microinverters connected, trunk end sealed, map of serial numbers photographed",
        "INST",
        source=practice(evaluation, "listed_and_instructed").citation,
        photo=True,
        place=where,
        is_private=True,
    )
    yield record_line(
        f"branch-current:{array.tag}.{name}",
        array.tag,
        f"Branch {name}: output current in sun, with the irradiance; compare the branches with each other",
        "A",
        "62446",
        source=practice(evaluation, "string_likeness").citation,
        place=where,
        inputs=(_IRRADIANCE,),
    )
