"""Findings for other programs: ``check --format json``, and ``findings.json`` of a package. Their keys are a contract."""

from __future__ import annotations

import json
from dataclasses import asdict
from pathlib import PurePath
from typing import TYPE_CHECKING, Any

from permitgen.documents.findings_tables import in_tables
from permitgen.views.asked import asked_data
from permitgen.views.causes import cause_ids, causes_of
from permitgen.views.gates import gate_data

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.evaluation.gates import Gate
    from permitgen.views.asked import AskedPoint
    from permitgen.views.findings import FindingText, Place
    from permitgen.views.questions import AskedFact, Question
    from permitgen.views.title import DocumentTitle


def findings_json(
    findings: Sequence[FindingText],
    questions: Sequence[Question],
    gates: Sequence[Gate],
    title: DocumentTitle,
    fingerprint: str,
    asked: Sequence[AskedPoint] = (),
    *,
    in_package: bool = False,
) -> bytes:
    """Return findings, questions, gates, and what the department asked for before, as JSON, in their order.

    ``fingerprint`` is the hex digest of the inputs.

    ``cause`` of a finding that is violated or deserves care is the id of the finding that leads its cause. ``in_package`` names files
    without the folders a user typed, so that a package is the same wherever it was built from, and says once what repeats.
    """
    causes = cause_ids(causes_of(findings))
    content = {
        "project": title.project,
        "number": title.number,
        "revision": title.revision,
        "edition": title.edition,
        "fingerprint": fingerprint,
        "gates": [gate_data(gate) for gate in gates],
        "findings": [_finding(finding, in_package=in_package) | {"cause": causes.get((finding.state, finding.id))} for finding in findings],
        "questions": [_question(question, in_package=in_package) for question in questions],
        "asked": [asked_data(point) for point in asked],
    }
    return in_tables(content) if in_package else (json.dumps(content, indent=2, ensure_ascii=False) + "\n").encode()


def _finding(finding: FindingText, *, in_package: bool) -> dict[str, Any]:
    return {
        "id": finding.id,
        "rule": finding.rule,
        "verdict": finding.verdict,
        "state": finding.state,
        "section": finding.section,
        "edition": finding.edition,
        "grade": finding.grade,
        "text_source": finding.text_source or None,
        "subject": finding.subject,
        "message": finding.message,
        "computed": finding.computed or None,
        "relation": finding.relation or None,
        "limit": finding.limit or None,
        "method": finding.method or None,
        "methods": [asdict(method) for method in finding.methods],
        "missing": list(finding.missing),
        "suggestion": list(finding.suggestions),
        "source": _place(finding.source, in_package=in_package),
        "places": [_place(place, in_package=in_package) for place in finding.places],
        "derivation": [step.line for step in finding.steps],
        "doubt": finding.doubt or None,
        "near_limit": list(finding.near_limit),
        "whatever": list(finding.whatever),
        "granted": finding.granted or None,
        "amended": [asdict(change) for change in finding.changed],
    }


def _question(question: Question, *, in_package: bool) -> dict[str, Any]:
    return {
        "knows": question.knows,
        "question": question.words,
        "opens": question.opens,
        "among": question.among,
        "findings": list(question.findings),
        "facts": [_fact(fact, in_package=in_package) for fact in question.facts],
    }


def _fact(fact: AskedFact, *, in_package: bool) -> dict[str, Any]:
    file = PurePath(fact.file).name if in_package else fact.file
    return {
        "asked": fact.asked,
        "key": fact.path or None,
        "source": {"file": file, "line": fact.line} if fact.file else None,
        "opens": fact.opens,
        "among": fact.among,
    }


def _place(place: Place | None, *, in_package: bool) -> dict[str, Any] | None:
    if place is None:
        return None
    file = PurePath(place.file).name if in_package else place.file
    return {"file": file, "line": place.line, "column": place.column, "text": place.text}
