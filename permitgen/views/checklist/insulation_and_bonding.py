"""Tests with everything off: insulation resistance, continuity of bonding, the one neutral bond by measurement."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.code.equations.field_tests import insulation_system_voltage_v
from permitgen.code.errors import NotInTableError
from permitgen.evaluation.field_verdict import PassRule
from permitgen.rules.given import MissingFactError, NotInForceError
from permitgen.rules.quantities.pv_voltage import string_maximum_voltage
from permitgen.rules.subjects import SUBJECTS
from permitgen.system.equipment.panelboard import Panelboard
from permitgen.system.equipment.photovoltaic import PVArray, has_module_electronics
from permitgen.system.walks.neutral_bonds import neutrals_to_the_bond, service_disconnect_enclosures
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
from permitgen.views.checklist.proof import Proof
from permitgen.views.wording import value_text

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.rules.subjects import ArrayCircuit
    from permitgen.system.circuit import End
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.values.value import Value

_LEAST = FurtherInput("marked", "Least by instructions", "MΩ")
_TESTER_BEFORE = "tester reads zero with its leads joined and out of range with them apart"
_READS_LOW = "a pinched or wet conductor reads low"


def insulation(evaluation: Evaluation) -> ChecklistSection:
    """Return the insulation tests: ac conductors before landing, dc circuits string by string."""
    intro = (
        "Before landing: both ends of every conductor are free. A landed end puts the test voltage on electronics, and reads the neutral "
        "bond or a load instead of the insulation. "
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
            instruction=f"{circuit.name or circuit.tag}: lowest reading",
            group="insulation",
            group_title=f"{volts} dc for {seconds}, both ends disconnected",
            proof=Proof(
                mode="all power off, before landing",
                meter=f"one end: each conductor to the others and to ground, {volts} dc for {seconds}",
                closed=f"nothing: both ends disconnected, at {_end(evaluation, circuit.start)} and at {_end(evaluation, circuit.finish)}",
                before=_TESTER_BEFORE,
                otherwise="a conductor that was damaged in pulling reads low",
            ),
            rule=PassRule(kind="insulation", unit=printed_unit(least.unit), base=least.number),
            basis="CP",
            limit=f"fails below {value_text(least)}, a guide",
            why="a short new run reads far above the guide; nothing passes by it",
            source=test.citation,
            inputs=(_LEAST,),
            safety="insulation",
        )


def _end(evaluation: Evaluation, end: End) -> str:
    item = evaluation.system.equipment[end.tag]
    return f"{item.name or end.tag} ({end})"


def _on_modules(evaluation: Evaluation, tag: str) -> bool:
    return isinstance(evaluation.system.equipment[tag], PVArray)


def _dc(evaluation: Evaluation) -> Iterator[ChecklistLine]:
    for string in SUBJECTS["PV string"](evaluation.system):
        known = _system_voltage(evaluation, string)
        if known is not None:
            system_v, why = known
            line = _conductors_alone if has_module_electronics(string.array) else _whole_string
            yield line(evaluation, string, system_v, why)


def _system_voltage(evaluation: Evaluation, string: ArrayCircuit) -> tuple[Value, str] | None:
    """Return the voltage by which the test is chosen, and how it is found; None where the project does not tell."""
    module = string.array.module
    if string.array.converter is not None:
        try:
            voltage = string_maximum_voltage(evaluation.given, string)
        except (MissingFactError, NotInForceError, NotInTableError):
            return None
        return voltage, f"system voltage {value_text(voltage)}: the most that the converters of the string give together"
    if module is None or module.voc_v is None:
        return None
    margin = practice(evaluation, "dc_insulation_test").value("margin_factor")
    system_v = insulation_system_voltage_v.derive(open_circuit_v=module.voc_v, modules_count=string.count, margin_factor=margin)
    return system_v, f"system voltage {value_text(system_v)} = open-circuit voltage × {value_text(margin)}"


def _whole_string(evaluation: Evaluation, string: ArrayCircuit, system_v: Value, why: str) -> ChecklistLine:
    proof = Proof(
        mode="string open at both ends, before it is connected to the inverter",
        meter="the free end of the string, to the grounding bar",
        closed="nothing: both ends disconnected, string fuses out",
        before=_TESTER_BEFORE,
        otherwise=_READS_LOW,
    )
    return _dc_line(evaluation, string, system_v, f"String {string.name}: negative to ground, then positive to ground", proof, why)


def _conductors_alone(evaluation: Evaluation, string: ArrayCircuit, system_v: Value, why: str) -> ChecklistLine:
    """Return the line of a string with electronics at its modules: its conductors, unplugged from them."""
    proof = Proof(
        mode="conductors of the string free at both ends: unplugged at the first and the last module, not yet on the inverter",
        meter="the free end of each conductor, to the grounding bar",
        closed="nothing: no module, converter or shutdown device is in the circuit",
        before=_TESTER_BEFORE,
        otherwise=_READS_LOW,
    )
    what = (
        f"String {string.name}: its conductors alone, unplugged from the electronics at the modules; negative to ground, then positive "
        "to ground"
    )
    return _dc_line(evaluation, string, system_v, what, proof, f"{why}; modules and their electronics only as their manufacturers say")


def _dc_line(evaluation: Evaluation, string: ArrayCircuit, system_v: Value, what: str, proof: Proof, why: str) -> ChecklistLine:
    table = evaluation.given.table("dc_insulation_test")
    return number_line(
        f"insulation:{string.tag}",
        string.array.tag,
        f"{what}, {value_text(table.band(system_v.number, 'test'))} dc; note weather and whether modules are wet",
        Limits(least=table.band(system_v.number, "least")),
        "62446",
        proof=proof,
        why=why,
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
            proof=Proof(
                mode="all power off",
                meter="four-wire leads: one on bare metal of the part itself, one at the other end of the path",
                closed="the bonding path alone",
                before="leads joined read zero; moved off the metal they read open",
                otherwise="a painted or loose joint reads higher",
            ),
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
        lifted = neutrals_to_the_bond(evaluation.system, item.tag)
        if not lifted:
            continue
        names = ", ".join(lifted)
        yield number_line(
            f"neutral-open:{item.tag}",
            item.tag,
            f"{item.name}: neutral of {names} not landed, neutral bar to ground bar is open",
            Limits(least=test.value("open_least_ohm")),
            "NEC",
            source=f"{cited}; figure: {test.citation}",
            place=place_of(evaluation, item.tag),
            why="a second bond here would put neutral current on the grounding conductors",
            safety="bond",
            proof=Proof(
                mode="all power off, every source locked",
                meter=f"neutral bar to ground bar of {item.name}",
                closed=f"nothing: neutral of {names} is off the bar, branch neutrals stay",
                before="leads joined read zero",
                otherwise="a second bond in this enclosure reads near zero; with the neutral landed every house would",
            ),
        )
        yield number_line(
            f"neutral-closed:{item.tag}",
            item.tag,
            f"{item.name}: neutral of {names} landed and tightened, neutral to ground through the one bond",
            Limits(most=test.value("closed_most_ohm")),
            "NEC",
            source=f"{cited}; figure: {test.citation}",
            place=place_of(evaluation, item.tag),
            why="without a bond a ground fault would trip nothing",
            safety="bond",
            proof=Proof(
                mode="all power off, every source locked",
                meter=f"neutral bar to ground bar of {item.name}",
                closed=f"the neutral of {names}, landed",
                before="open on the same meter while that neutral was off the bar",
                otherwise="without the one bond it stays open",
            ),
        )
    if not any(item.transfers for item in evaluation.system.equipment.values()) and not evaluation.system.islanding_switches:
        return
    yield done_line(
        "neutral:positions",
        "",
        "Repeat for each contactor position that can be commanded. If the utility had to stay on: by inspection and photos, and noted here",
        "NEC",
        source=cited,
        photo=True,
        safety="bond",
        proof=Proof(
            mode="all power off",
            meter="neutral bar to ground bar",
            closed="the contactor in each position that can be commanded",
            before="the reading in the first position",
            otherwise="a bond that comes and goes with the contactor reads otherwise in one position",
        ),
    )
