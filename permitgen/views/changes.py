"""What changes between two evaluations: two files, two editions, or permitted and built."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Verdict
from permitgen.views.circuit_text import conductor_text, device_texts, runs_text
from permitgen.views.findings import FindingText, finding_text
from permitgen.views.label_set import label_set_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from permitgen.evaluation.evaluation import Evaluation


@dataclass(frozen=True, slots=True)
class Change:
    """One change. ``part`` says where it shows (verdict, number, section, circuit or label); ``why`` is the reason found."""

    part: str
    subject: str
    what: str
    before: str
    after: str
    why: str


@dataclass(frozen=True, slots=True)
class Comparison:
    """All changes from ``before`` to ``after``, the weightiest first."""

    before: str
    after: str
    changes: tuple[Change, ...]
    new_violations: int


def comparison_of(before: Evaluation, after: Evaluation, names: tuple[str, str]) -> Comparison:
    """Return what changes from one evaluation to the other; ``names`` is how the two are called."""
    changes = [*_findings(before, after), *_circuits(before, after), *_labels(before, after)]
    violated = {f.id for f in before.findings if f.verdict is Verdict.VIOLATED}
    new = sum(f.verdict is Verdict.VIOLATED and f.id not in violated for f in after.findings)
    return Comparison(names[0], names[1], tuple(changes), new)


def _texts(evaluation: Evaluation) -> Mapping[str, FindingText]:
    book = evaluation.given.code.edition.book
    return {f.id: finding_text(f, book) for f in evaluation.findings}


def _findings(before: Evaluation, after: Evaluation) -> list[Change]:
    """Verdicts first, then numbers and ways, then section numbers."""
    old, new = _texts(before), _texts(after)
    verdicts, numbers, sections = [], [], []
    for id_ in dict.fromkeys((*old, *new)):
        was, now = old.get(id_), new.get(id_)
        if was is None or now is None:
            kept = now or was
            if kept is not None and kept.verdict != str(Verdict.DOES_NOT_APPLY):
                verdicts.append(_verdict_change(was, now, kept))
        elif was.verdict != now.verdict:
            verdicts.append(_verdict_change(was, now, now))
        elif (was.comparison, was.method) != (now.comparison, now.method):
            numbers.append(Change("number", now.subject, now.title, _shown(was), _shown(now), now.message))
        elif _bare(was.section) != _bare(now.section) and now.verdict != str(Verdict.DOES_NOT_APPLY):
            sections.append(Change("section", now.subject, now.title, was.section, now.section, "the section has another number"))
    return [*verdicts, *numbers, *sections]


def _verdict_change(was: FindingText | None, now: FindingText | None, kept: FindingText) -> Change:
    before = f"{was.verdict} ({was.section})" if was is not None else "no such subject"
    after = f"{now.verdict} ({now.section})" if now is not None else "no such subject"
    return Change("verdict", kept.subject, kept.title, before, after, now.message if now is not None else kept.message)


def _shown(finding: FindingText) -> str:
    method = f"{finding.method}: " if finding.method else ""
    return f"{method}{finding.comparison or finding.message}"


def _bare(section: str) -> str:
    """A citation without its book: a change of edition alone is no change of section."""
    words = section.split(" ", maxsplit=2)
    return words[-1] if words[0] == "NEC" else section


def _circuits(before: Evaluation, after: Evaluation) -> list[Change]:
    found = []
    for tag in dict.fromkeys((*before.system.circuits, *after.system.circuits)):
        was, now = _circuit(before, tag), _circuit(after, tag)
        found += [
            Change("circuit", tag, name, was.get(name, "–"), now.get(name, "–"), "")
            for name in dict.fromkeys((*was, *now))
            if was.get(name) != now.get(name)
        ]
    return found


def _circuit(evaluation: Evaluation, tag: str) -> dict[str, str]:
    circuit = evaluation.system.circuits.get(tag)
    if circuit is None:
        return {}
    return {
        "path": f"{circuit.start} → {circuit.finish}",
        "conductors": conductor_text(circuit),
        "overcurrent": ", ".join(device_texts(evaluation.given, circuit)),
        "run": runs_text(evaluation.system, circuit),
    }


def _labels(before: Evaluation, after: Evaluation) -> list[Change]:
    old, new = _label_texts(before), _label_texts(after)
    found = []
    for key in dict.fromkeys((*old, *new)):
        was, now = old.get(key), new.get(key)
        if was != now:
            found.append(Change("label", key[1], key[0], was or "not due", now or "not due", ""))
    return found


def _label_texts(evaluation: Evaluation) -> dict[tuple[str, str], str]:
    labels = label_set_of(evaluation).labels
    return {(label.id, label.tag): " ".join(line.text for panel in label.panels for line in panel.lines) for label in labels}
