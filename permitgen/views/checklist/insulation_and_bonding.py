"""Tests with everything off: insulation resistance, continuity of bonding, the one neutral bond by measurement."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.code.equations.field_tests import insulation_system_voltage_v
from permitgen.evaluation.field_verdict import PassRule
from permitgen.system.equipment.panelboard import Panelboard
from permitgen.system.equipment.photovoltaic import PVArray
from permitgen.system.walks.neutral_bonds import service_disconnect_enclosures
from permitgen.values.units import printed_unit
from permitgen.views.checklist.line import (
    ChecklistLine,
    ChecklistSection,
    FurtherInput,
    Limits,
    done_line,
    number_line,
    number_with_unit,
    place_of,
    practice,
)
from permitgen.views.wording import value_text

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.equipment.equipment import Equipment

_LEAST = FurtherInput("marked", "Least value that the instructions ask for", "MΩ")


def insulation(evaluation: Evaluation) -> ChecklistSection:
    """Return the insulation tests: ac conductors before landing, dc circuits string by string."""
    intro = (
        "Disconnect electronics, surge protectors, energy monitor, ground-fault and arc-fault devices first. "
        "Never test through module-level electronics unless their manufacturer allows it."
    )
    return ChecklistSection("insulation", "Insulation resistance", intro, (*_ac(evaluation), *_dc(evaluation)))


def _ac(evaluation: Evaluation) -> Iterator[ChecklistLine]:
    test = practice(evaluation, "ac_insulation_test")
    volts, seconds = value_text(test.value("test_v")), value_text(test.value("duration_s"))
    for circuit in evaluation.system.circuits.values():
        if circuit.existing or circuit.is_dc or _on_modules(evaluation, circuit.start.tag):
            continue
        least = test.value("least_megohm")
        yield ChecklistLine(
            id=f"insulation:{circuit.tag}",
            tag=circuit.tag,
            instruction=f"{circuit.name or circuit.tag}: lowest of each conductor to the others and to ground, {volts} dc, {seconds}",
            rule=PassRule(kind="insulation", unit=printed_unit(least.unit), base=least.number),
            basis="CP",
            limit=f"fails below {value_text(least)}, a guide",
            why="a short new run reads far above the guide; nothing passes by it",
            source=test.citation,
            inputs=(_LEAST,),
            safety="insulation",
        )


def _on_modules(evaluation: Evaluation, tag: str) -> bool:
    return isinstance(evaluation.system.equipment[tag], PVArray)


def _dc(evaluation: Evaluation) -> Iterator[ChecklistLine]:
    margin = practice(evaluation, "dc_insulation_test").value("margin_factor")
    table = evaluation.given.table("dc_insulation_test")
    for item in evaluation.system.equipment.values():
        if not isinstance(item, PVArray) or item.module is None or item.module.voc_v is None:
            continue
        for name, modules in item.strings.items():
            system_v = insulation_system_voltage_v.derive(open_circuit_v=item.module.voc_v, modules_count=modules, margin_factor=margin)
            test_v, least = table.band(system_v.number, "test"), table.band(system_v.number, "least")
            yield number_line(
                f"insulation:{item.tag}.{name}",
                item.tag,
                f"String {name}: negative to ground, then positive to ground, {value_text(test_v)} dc; "
                "note weather and whether modules are wet",
                Limits(least=least),
                "62446",
                why=f"system voltage {value_text(system_v)} = open-circuit voltage × {value_text(margin)}",
                source=table.number,
                safety="insulation",
            )


def bonding(evaluation: Evaluation) -> ChecklistSection:
    """Return continuity of bonding and the neutral bond measured with every source locked off."""
    intro = (
        "Only with the utility off upstream, every source locked off and absence of voltage verified. "
        "Never lift a neutral on a live service."
    )
    return ChecklistSection("bonding", "Bonding and neutral, power off", intro, (*_continuity(evaluation), *_neutral(evaluation)))


def _continuity(evaluation: Evaluation) -> Iterator[ChecklistLine]:
    test = practice(evaluation, "bonding_continuity_test")
    amperes = number_with_unit(test.value("test_a").number, "a")
    limits = Limits(most=test.value("most_ohm"))
    for item in evaluation.system.equipment.values():
        what = _bond_measured(item)
        if not what or item.status == "existing":
            continue
        basis = "62446" if item.kind == "pv_array" else "CP"
        yield number_line(
            f"continuity:{item.tag}",
            item.tag,
            f"{item.name}: {what}, measured with {amperes} or more",
            limits,
            basis,  # type: ignore[arg-type]
            source=test.citation,
            place=place_of(evaluation, item.tag),
            why="compare with the resistance for that length of conductor; a loose joint shows here first",
            safety="bond",
        )


def _bond_measured(item: Equipment) -> str:
    if item.kind == "pv_array":
        return "module frames and rails to the grounding electrode"
    if item.kind == "grounding_electrode_system":
        return "electrode conductor to the electrodes"
    return "enclosure to the grounding bar of the service" if item.busbars() or item.frame_bond_is_measured else ""


def _neutral(evaluation: Evaluation) -> Iterator[ChecklistLine]:
    test = practice(evaluation, "neutral_bond_test")
    cited = practice(evaluation, "single_neutral_bond").citation
    service = service_disconnect_enclosures(evaluation.system)
    for item in evaluation.system.equipment.values():
        if not isinstance(item, Panelboard) or item.tag in service or item.neutral_bond is None or item.neutral_bond.state.is_bonded:
            continue
        if not any(
            circuit.conductors.neutral
            for circuit in evaluation.system.circuits.values()
            if item.tag in (circuit.start.tag, circuit.finish.tag)
        ):
            continue
        yield number_line(
            f"neutral-open:{item.tag}",
            item.tag,
            f"{item.name}: feeder neutral lifted, neutral bar to ground bar is open",
            Limits(least=test.value("open_least_ohm")),
            "NEC",
            source=f"{cited}; figure: {test.citation}",
            place=place_of(evaluation, item.tag),
            why="a second bond here would put neutral current on the grounding conductors",
            safety="bond",
        )
        yield number_line(
            f"neutral-closed:{item.tag}",
            item.tag,
            f"{item.name}: feeder neutral landed and tightened again, neutral to ground through the one bond",
            Limits(most=test.value("closed_most_ohm")),
            "NEC",
            source=f"{cited}; figure: {test.citation}",
            place=place_of(evaluation, item.tag),
            why="without a bond a ground fault would trip nothing",
            safety="bond",
        )
    yield done_line(
        "neutral:positions",
        "",
        "Repeat for each contactor position that can be commanded. If the utility had to stay on: by inspection and photos, and noted here",
        "NEC",
        source=cited,
        photo=True,
        safety="bond",
    )
