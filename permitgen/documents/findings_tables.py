"""``findings.json`` of a package: what ``check --format json`` prints, with what repeats said once. Its form stands in docs/findings.md.

Most of two thousand findings say that a rule does not apply to a thing, in the words of the rule; the same steps and lines of the project
file stand behind many. Written out, the file is eight times as long.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Any

FORMAT = "findings 2"
SUBJECT = "{subject}"
_OF_METHOD = ("verdict", "message", "computed", "relation", "limit")


def in_tables(content: Mapping[str, Any]) -> bytes:
    """Return the file; ``content`` is what is written out elsewhere."""
    tables = _Tables()
    groups: dict[tuple[str, str], list[dict[str, Any]]] = {}
    for finding in content["findings"]:
        groups.setdefault((finding["state"], finding["rule"]), []).append(tables.row(finding))
    rules = [{"state": state, "rule": rule, **_most_once(rows)} for (state, rule), rows in groups.items()]
    written = {**content, "format": FORMAT, "findings": None, **tables.content(), "rules": rules}
    return (json.dumps(_told(written), ensure_ascii=False, separators=(",", ":")) + "\n").encode()


class _Tables:
    """Numbers what several findings share, in the order in which it is met."""

    def __init__(self) -> None:
        self._numbers: dict[str, dict[str, int]] = {"subjects": {}, "steps": {}, "places": {}}

    def content(self) -> dict[str, list[Any]]:
        """Return each table as a list."""
        return {name: [json.loads(entry) for entry in numbers] for name, numbers in self._numbers.items()}

    def row(self, finding: Mapping[str, Any]) -> dict[str, Any]:
        """Return a finding without rule and state, with numbers in place of what stands in tables."""
        subject = finding["subject"]
        row = {key: value for key, value in finding.items() if key not in ("rule", "state", "subject", "source")}
        if row["id"] == f"{finding['rule']}:{subject}":
            del row["id"]
        if subject and SUBJECT not in row["message"]:
            row["message"] = row["message"].replace(subject, SUBJECT)
        row["places"] = [self._number("places", place) for place in finding["places"]]
        row["derivation"] = [self._number("steps", step) for step in finding["derivation"]]
        row["methods"] = [_method(method, finding) for method in finding["methods"]]
        return {"of": self._number("subjects", {"subject": subject, "source": finding["source"]}), **row}

    def _number(self, table: str, entry: Any) -> int:
        numbers = self._numbers[table]
        return numbers.setdefault(json.dumps(entry, ensure_ascii=False), len(numbers))


def _method(method: Mapping[str, Any], finding: Mapping[str, Any]) -> dict[str, Any]:
    """Return a method without what its finding says, too."""
    own = {key: value for key, value in method.items() if key not in _OF_METHOD or value != (finding[key] or "")}
    if method["comparison"] == method["message"]:
        del own["comparison"]
    return own


def _most_once(rows: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    """Return what most findings of a rule say, and of each finding what it says otherwise."""
    keys = [key for key in rows[0] if key not in ("of", "id")]
    spelled = {key: Counter(json.dumps(row[key]) for row in rows) for key in keys}
    most = {key: json.loads(counts.most_common(1)[0][0]) for key, counts in spelled.items()}
    findings = [{key: value for key, value in row.items() if key not in most or value != most[key]} for row in rows]
    return {"most": {key: value for key, value in most.items() if value not in (None, [])}, "findings": findings}


def _told(written: Mapping[str, Any]) -> dict[str, Any]:
    """Return the content with its format first and without what stands in tables now."""
    return {"format": written["format"], **{key: value for key, value in written.items() if value is not None and key != "format"}}
