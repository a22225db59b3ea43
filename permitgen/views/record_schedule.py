"""Circuits and checks of the record: one line each, without the derivations that the calculation sheet prints."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Verdict
from permitgen.system.walks.circuit_sides import role_of
from permitgen.views.circuit_text import conductor_text, device_texts, run_text, runs_text
from permitgen.views.findings import numbers_of, shown_relation, worst_of

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.evaluation.finding import Finding
    from permitgen.system.circuit import Circuit


@dataclass(frozen=True, slots=True)
class CircuitLine:
    """One circuit as built, with the worst verdict on it."""

    tag: str
    name: str
    path: str
    role: str
    device: str
    conductors: str
    raceway: str
    verdict: str


@dataclass(frozen=True, slots=True)
class CheckLine:
    """One check: what is required, both numbers where there are any, section, verdict."""

    title: str
    comparison: str
    section: str
    verdict: str


@dataclass(frozen=True, slots=True)
class CheckedSubject:
    """Every check of one circuit, run, busbar or piece of equipment."""

    tag: str
    name: str
    checks: tuple[CheckLine, ...]


@dataclass(frozen=True, slots=True)
class CheckGroup:
    """Subjects of one kind."""

    title: str
    blocks: tuple[CheckedSubject, ...]


def circuit_lines(evaluation: Evaluation) -> tuple[CircuitLine, ...]:
    """Return the circuits in the order of the project."""
    verdicts: dict[str, list[Verdict]] = {}
    for finding in evaluation.findings:
        verdicts.setdefault(finding.subject.partition("@")[0], []).append(finding.verdict)
    return tuple(_circuit_line(evaluation, circuit, verdicts.get(tag, [])) for tag, circuit in evaluation.system.circuits.items())


def _circuit_line(evaluation: Evaluation, circuit: Circuit, verdicts: list[Verdict]) -> CircuitLine:
    return CircuitLine(
        tag=circuit.tag,
        name=circuit.name,
        path=f"{circuit.start} → {circuit.finish}",
        role=str(role_of(evaluation.system, circuit)),
        device=", ".join(device_texts(evaluation.given, circuit)) or "–",
        conductors=conductor_text(circuit),
        raceway=runs_text(evaluation.system, circuit),
        verdict=str(worst_of(verdicts) or Verdict.NOT_JUDGED),
    )


def check_groups(evaluation: Evaluation) -> tuple[CheckGroup, ...]:
    """Return every check that applies, by kind and subject, in the order of the project."""
    system = evaluation.system
    sections = (
        ("Circuits", {tag: circuit.name for tag, circuit in system.circuits.items()}),
        ("Raceways and cables", {tag: run_text(system, tag) for tag in system.raceways}),
        ("Control circuits", {tag: control.name for tag, control in system.controls.items()}),
        ("Equipment", {tag: item.name for tag, item in system.equipment.items()}),
    )
    by_head: dict[str, list[Finding]] = {}
    for finding in evaluation.findings:
        if finding.verdict is not Verdict.DOES_NOT_APPLY:
            by_head.setdefault(finding.subject.partition("@")[0].partition(".")[0], []).append(finding)
    known = {tag for _, names in sections for tag in names}
    groups = [
        CheckGroup(title, tuple(_subject(tag, names[tag], by_head[tag]) for tag in names if tag in by_head)) for title, names in sections
    ]
    others = tuple(_subject(tag, "", found) for tag, found in by_head.items() if tag not in known)
    return tuple(group for group in (*groups, CheckGroup("Whole system", others)) if group.blocks)


def _subject(tag: str, name: str, findings: list[Finding]) -> CheckedSubject:
    return CheckedSubject(tag, name, tuple(_check(finding, tag) for finding in sorted(findings, key=lambda f: (f.subject, f.rule))))


def _check(finding: Finding, tag: str) -> CheckLine:
    computed, limit = numbers_of(finding.judgement)
    comparison = f"{computed} {shown_relation(finding.judgement)} {limit}" if computed and limit else ""
    about = finding.subject.removeprefix(tag).lstrip("@.")
    title = f"{finding.title} ({about})" if about else finding.title
    return CheckLine(title, comparison, finding.citation, str(finding.verdict))
