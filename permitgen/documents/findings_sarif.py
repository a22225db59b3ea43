"""Findings in SARIF 2.1.0 (an OASIS standard), which editors and code-review tools read."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from permitgen import __version__

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.views.findings import FindingText

_LEVEL = {"violated": "error", "not judged": "warning", "caution": "note"}


def findings_sarif(findings: Sequence[FindingText], evaluation: Evaluation, file: str) -> bytes:
    """Return violations, unjudged rules and cautions as one SARIF run; what no line alone brings about stands at the top of ``file``."""
    shown = [finding for finding in findings if finding.verdict in _LEVEL]
    rules = {finding.rule: finding.title for finding in shown}
    run = {
        "tool": {
            "driver": {
                "name": "permitgen",
                "version": __version__,
                "rules": [{"id": rule, "shortDescription": {"text": title}} for rule, title in sorted(rules.items())],
            }
        },
        "properties": {"edition": evaluation.given.code.edition.book},
        "results": [_result(finding, file) for finding in shown],
    }
    content = {"$schema": "https://json.schemastore.org/sarif-2.1.0.json", "version": "2.1.0", "runs": [run]}
    return (json.dumps(content, indent=2, ensure_ascii=False) + "\n").encode()


def _result(finding: FindingText, file: str) -> dict[str, Any]:
    place = finding.source or (finding.places[0] if finding.places else None)
    where = (place.file, place.line, place.column) if place is not None else (file, 1, 1)
    return {
        "ruleId": finding.rule,
        "level": _LEVEL[finding.verdict],
        "message": {"text": f"{finding.message} ({finding.section})"},
        "partialFingerprints": {"findingId": finding.id},
        "properties": {"grade": finding.grade, **({"textSource": finding.text_source} if finding.text_source else {})},
        "locations": [
            {
                "physicalLocation": {
                    "artifactLocation": {"uri": where[0]},
                    "region": {"startLine": where[1], "startColumn": where[2]},
                }
            }
        ],
    }
