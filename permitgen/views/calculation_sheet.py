"""Every check and every step of the calculation. HTML, PDF and DOCX of the derivations are given this one object."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from permitgen.code.grade import Grade
from permitgen.rules.judgement import Verdict
from permitgen.rules.rule import all_rules
from permitgen.system.walks.circuit_sides import role_of
from permitgen.views.circuit_text import conductor_text, device_texts, run_text, runs_text
from permitgen.views.document_id import BESIDE, with_document_id
from permitgen.views.explanation import StepText, steps_of
from permitgen.views.findings import FindingText, MethodLine, finding_text, worst_of
from permitgen.views.title import DocumentTitle, title_of
from permitgen.views.wording import origin_text, value_text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.evaluation.finding import Finding
    from permitgen.system.circuit import Circuit


@dataclass(frozen=True, slots=True)
class CheckRow:
    """One check of one subject: what is required, both numbers, section and verdict.

    ``parts`` are the ways tried or the parts judged, where the requirement has several. ``at`` is the operating mode or
    the terminal that the check is about, empty where it is about the whole. ``computed relation limit``
    are empty where a yes or no is asked.
    """

    title: str
    message: str
    comparison: str
    section: str
    verdict: str
    method: str
    parts: tuple[MethodLine, ...]
    at: str = ""
    computed: str = ""
    relation: str = ""
    limit: str = ""


@dataclass(frozen=True, slots=True)
class SubjectBlock:
    """Everything about one circuit, raceway, busbar or piece of equipment."""

    tag: str
    name: str
    facts: tuple[tuple[str, str], ...]
    checks: tuple[CheckRow, ...]
    steps: tuple[StepText, ...]


@dataclass(frozen=True, slots=True)
class SubjectGroup:
    """Blocks of one kind under one heading."""

    title: str
    blocks: tuple[SubjectBlock, ...]


@dataclass(frozen=True, slots=True)
class ChoiceRow:
    """A size the program chose: what governs it, and what the next smaller one failed."""

    tag: str
    what: str
    chosen: str
    refused: str
    reason: str


@dataclass(frozen=True, slots=True)
class AssumptionRow:
    """A value the project did not state and the program chose."""

    title: str
    value: str
    reason: str


@dataclass(frozen=True, slots=True)
class CircuitRow:
    """One line of the circuit summary."""

    tag: str
    name: str
    path: str
    role: str
    device: str
    conductors: str
    raceway: str
    verdict: str


@dataclass(frozen=True, slots=True)
class CalculationSheet:
    """The whole sheet. ``grades`` says of how many findings the text of the code was read, is reported and so on."""

    title: DocumentTitle
    counts: tuple[tuple[str, int], ...]
    grades: tuple[tuple[str, int], ...]
    open_findings: tuple[FindingText, ...]
    choices: tuple[ChoiceRow, ...]
    assumptions: tuple[AssumptionRow, ...]
    circuits: tuple[CircuitRow, ...]
    groups: tuple[SubjectGroup, ...]
    doubts: tuple[tuple[str, str], ...]
    document_id: str = field(default="", metadata=BESIDE)


def view_of(evaluation: Evaluation) -> CalculationSheet:
    """Return the calculation sheet of an evaluation."""
    findings = [finding_text(f, "") for f in evaluation.findings]
    sheet = CalculationSheet(
        title=title_of(evaluation),
        counts=tuple((str(verdict), count) for verdict, count in evaluation.counts.items()),
        grades=_grades(findings),
        open_findings=tuple(f for f in findings if f.verdict in (str(Verdict.VIOLATED), str(Verdict.NOT_JUDGED), str(Verdict.CAUTION))),
        choices=tuple(ChoiceRow(s.tag, s.what, s.chosen or "none passes", s.refused, s.reason) for s in evaluation.sizings),
        assumptions=(
            *(AssumptionRow(each.title, each.taken, each.reason) for each in evaluation.system.assumptions),
            *(AssumptionRow(v.title, value_text(v), origin_text(v).removeprefix("assumed: ")) for v in evaluation.assumptions),
        ),
        circuits=tuple(_circuit_row(evaluation, circuit) for circuit in evaluation.system.circuits.values()),
        groups=_groups(evaluation),
        doubts=_doubts(findings),
    )
    return with_document_id("derivations", sheet)


def _grades(findings: list[FindingText]) -> tuple[tuple[str, int], ...]:
    """Return each grade of the text with the number of findings that rest on such a text, the best known first."""
    applicable = [finding.grade for finding in findings if finding.verdict != str(Verdict.DOES_NOT_APPLY)]
    return tuple((str(grade), applicable.count(str(grade))) for grade in Grade if str(grade) in applicable)


_RESTS_ON_NOTHING = (str(Verdict.NOT_JUDGED), str(Verdict.DOES_NOT_APPLY))


def _doubts(findings: list[FindingText]) -> tuple[tuple[str, str], ...]:
    """Return section and what is to be confirmed; an asterisk marks a row on which a verdict of this project rests."""
    rows: dict[tuple[str, str], bool] = {}
    for finding in findings:
        if finding.doubt and finding.verdict != str(Verdict.DOES_NOT_APPLY):
            row = (finding.section, finding.doubt)
            rows[row] = rows.get(row, False) or finding.verdict not in _RESTS_ON_NOTHING
    return tuple((f"{section} *" if decided else section, doubt) for (section, doubt), decided in rows.items())


def _circuit_row(evaluation: Evaluation, circuit: Circuit) -> CircuitRow:
    found = [f.verdict for f in evaluation.findings if f.subject.split("@")[0] == circuit.tag]
    return CircuitRow(
        tag=circuit.tag,
        name=circuit.name,
        path=f"{circuit.start} → {circuit.finish}",
        role=str(role_of(evaluation.system, circuit)),
        device=", ".join(device_texts(evaluation.given, circuit)) or "–",
        conductors=conductor_text(circuit),
        raceway=runs_text(evaluation.system, circuit),
        verdict=str(worst_of(found) or Verdict.DOES_NOT_APPLY),
    )


_GROUPS = (
    ("Circuits", ("circuit", "termination")),
    ("Busbars", ("busbar",)),
    ("Raceways and cables", ("raceway",)),
    ("Overcurrent devices", ("device",)),
    ("Control circuits", ("control circuit",)),
    ("Neutral and grounding", ("neutral", "grounding_electrode_system")),
    ("Equipment", ()),
    ("Whole system", ("system", "mode")),
)


def _groups(evaluation: Evaluation) -> tuple[SubjectGroup, ...]:
    judged_by = {rule.id: rule.judges for rule in all_rules()}
    named = {kind for _, kinds in _GROUPS for kind in kinds}
    groups = []
    for title, kinds in _GROUPS:
        wanted = [
            f
            for f in evaluation.findings
            if f.verdict is not Verdict.DOES_NOT_APPLY and (judged_by[f.rule] in kinds if kinds else judged_by[f.rule] not in named)
        ]
        by_tag: dict[str, list[Finding]] = {}
        for finding in wanted:
            by_tag.setdefault(finding.subject.split("@")[0], []).append(finding)
        blocks = tuple(_block(evaluation, tag, found) for tag, found in sorted(by_tag.items(), key=lambda pair: _rank(evaluation, pair[0])))
        if blocks:
            groups.append(SubjectGroup(title, blocks))
    return tuple(groups)


def _rank(evaluation: Evaluation, tag: str) -> tuple[int, str]:
    system = evaluation.system
    tags = [*system.circuits, *system.raceways, *system.controls, *system.equipment]
    head = tag.split(".", maxsplit=1)[0]
    return (tags.index(head) if head in tags else len(tags), tag)


def _block(evaluation: Evaluation, tag: str, findings: Sequence[Finding]) -> SubjectBlock:
    ordered = sorted(findings, key=lambda f: (f.subject, f.rule))
    return SubjectBlock(
        tag=tag,
        name=_name(evaluation, tag),
        facts=_facts(evaluation, tag),
        checks=tuple(_check(f) for f in ordered),
        steps=steps_of(value for f in ordered for value in f.judgement.all_values()),
    )


def _check(finding: Finding) -> CheckRow:
    text = finding_text(finding, "")
    compared = (text.computed, text.relation, text.limit) if text.comparison else ("", "", "")
    at = finding.subject.partition("@")[2]
    return CheckRow(text.title, text.message, text.comparison, text.section, text.verdict, text.method, text.methods, at, *compared)


def _name(evaluation: Evaluation, tag: str) -> str:
    system = evaluation.system
    for items in (system.circuits, system.equipment, system.controls):
        if tag in items:
            return str(items[tag].name)
    if tag in system.raceways:
        return run_text(system, tag)
    head, _, rest = tag.partition(".")
    if head in system.equipment and rest:
        return f"{system.equipment[head].name}, {rest}"
    return ""


def _facts(evaluation: Evaluation, tag: str) -> tuple[tuple[str, str], ...]:
    system = evaluation.system
    circuit = system.circuits.get(tag)
    if circuit is None:
        return ()
    return (
        ("From, to", f"{circuit.start} → {circuit.finish}"),
        ("Kind", str(role_of(system, circuit))),
        ("Conductors", conductor_text(circuit)),
        ("Overcurrent", ", ".join(device_texts(evaluation.given, circuit)) or "–"),
        ("Run", runs_text(system, circuit)),
    )
