"""Everything known about one subject: its facts, its choices, every finding with its derivation."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Verdict
from permitgen.rules.rule import all_rules
from permitgen.system.walks.circuit_sides import role_of
from permitgen.system.walks.in_series import devices_in_series
from permitgen.views.circuit_text import conductor_text, device_texts, run_text, runs_text
from permitgen.views.findings import FindingText, finding_text

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation


@dataclass(frozen=True, slots=True)
class ExplainedSubject:
    """A subject with its facts and findings, in words."""

    tag: str
    name: str
    facts: tuple[tuple[str, str], ...]
    choices: tuple[str, ...]
    findings: tuple[FindingText, ...]


def explainable(evaluation: Evaluation) -> list[str]:
    """Return every tag and finding id that can be explained."""
    system = evaluation.system
    tags = [*system.circuits, *system.equipment, *system.raceways, *system.controls]
    return [*tags, *sorted({f.subject for f in evaluation.findings}), *evaluation.by_id]


def explained(evaluation: Evaluation, subject: str) -> ExplainedSubject | None:
    """Return what is known of a tag or a finding id, None where there is no such thing."""
    if subject in evaluation.by_id:
        finding = evaluation.by_id[subject]
        return ExplainedSubject(finding.subject, finding.title, (), (), (finding_text(finding, evaluation.given.code.edition.book),))
    if subject not in explainable(evaluation):
        return None
    devices = _devices_of(evaluation, subject)
    of_devices = {rule.id for rule in all_rules() if rule.judges == "device"}
    found = [
        f
        for f in evaluation.findings
        if (_belongs(f.subject, subject) or (f.subject in devices and f.rule in of_devices)) and f.verdict is not Verdict.DOES_NOT_APPLY
    ]
    choices = tuple(
        f"{s.what} {s.chosen or 'blank'}" + (f"; {s.refused} fails {s.refused_by}: {s.reason}" if s.refused else "")
        for s in evaluation.sizings
        if s.tag in (subject, *devices)
    )
    texts = tuple(finding_text(f, evaluation.given.code.edition.book) for f in found)
    return ExplainedSubject(subject, _name(evaluation, subject), _facts(evaluation, subject), choices, texts)


def _devices_of(evaluation: Evaluation, tag: str) -> tuple[str, ...]:
    """Return the ids of the overcurrent devices in series with a circuit: who asks for the circuit wants to see them judged, too."""
    circuit = evaluation.system.circuits.get(tag)
    return tuple(device.tag for device in devices_in_series(evaluation.system, circuit)) if circuit is not None else ()


def _belongs(subject: str, tag: str) -> bool:
    return subject == tag or subject.startswith((f"{tag}@", f"{tag}."))


def _name(evaluation: Evaluation, tag: str) -> str:
    system = evaluation.system
    for items in (system.circuits, system.equipment, system.controls):
        if tag in items:
            return str(items[tag].name)
    if tag in system.devices:
        return system.devices[tag].name
    return run_text(system, tag) if tag in system.raceways else ""


def _facts(evaluation: Evaluation, tag: str) -> tuple[tuple[str, str], ...]:
    system = evaluation.system
    circuit = system.circuits.get(tag)
    if circuit is None:
        return ()
    return (
        ("from, to", f"{circuit.start} → {circuit.finish}"),
        ("kind", str(role_of(system, circuit))),
        ("conductors", conductor_text(circuit)),
        ("overcurrent", ", ".join(device_texts(evaluation.given, circuit)) or "–"),
        ("run", runs_text(system, circuit)),
    )
