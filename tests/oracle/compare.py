"""Run the program on a home and set its findings beside the oracle's expectations."""

from __future__ import annotations

import tempfile
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fnmatch import fnmatchcase
from pathlib import Path
from typing import Any

from permitgen.package.opened_project import open_project
from tests.oracle.expected import expectations
from tests.oracle.home import VIOLATED, Expected, Home
from tests.oracle.write_project import project_text

RELATIVE = 1e-3  # printed tables and unit conversions; every figure is exact to far more
MISSED, LEFT_OPEN, FALSE, NOT_JUDGED, NUMBER = "violation missed", "violation left open", "false violation", "not judged", "number"


@dataclass(frozen=True)
class Finding:
    """What the program says: its rule, subject, verdict, message and the figures of every way it tried."""

    rule: str
    subject: str
    verdict: str
    message: str
    figures: tuple[tuple[str, float, float | None], ...]


@dataclass(frozen=True)
class Difference:
    """One expectation that the program does not share."""

    home: str
    expected: Expected
    kind: str
    program: str

    @property
    def key(self) -> tuple[str, str, str]:
        return self.expected.quantity, self.expected.circumstance, self.kind


def findings_of(home: Home) -> list[Finding]:
    """The program's findings, in process. Raises what the program raises of a file that it cannot read."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "project.yaml"
        path.write_text(project_text(home), encoding="utf-8")
        evaluation = open_project(path).evaluation
    return [
        Finding(each.rule, each.subject, each.judgement.verdict.value, each.judgement.message, tuple(_figures(each.judgement)))
        for each in evaluation.findings
    ]


def _figures(judgement: Any) -> Iterator[tuple[str, float, float | None]]:
    if judgement.computed is not None:
        yield judgement.method, judgement.computed.number, judgement.limit.number if judgement.limit else None
    for part in judgement.parts:
        yield from _figures(part)


def matching(expected: Expected, findings: Iterable[Finding]) -> list[Finding]:
    """The findings that may say it; subjects may carry an end or a mode behind ``@`` or a comma."""
    return [
        finding
        for finding in findings
        if any(fnmatchcase(finding.rule, pattern) for pattern in expected.rules)
        and any(finding.subject in {at, f"{at}@{finding.subject.partition('@')[2]}"} for at in expected.subjects)
        and finding.verdict != "does not apply"
    ]


def differences(home: Home) -> list[Difference]:
    """Where program and oracle part."""
    findings = findings_of(home)
    return [found for expected in expectations(home) for found in _of_one(home, expected, matching(expected, findings))]


def _of_one(home: Home, expected: Expected, said: list[Finding]) -> Iterator[Difference]:
    verdicts = {finding.verdict for finding in said}
    told = "; ".join(f"{finding.rule} {finding.verdict}: {finding.message}" for finding in said) or "no finding"
    if not expected.unsure:
        if expected.verdict == VIOLATED and "violated" not in verdicts:
            yield Difference(home.name, expected, LEFT_OPEN if "not judged" in verdicts else MISSED, told)
        elif expected.verdict != VIOLATED and "violated" in verdicts:
            yield Difference(home.name, expected, FALSE, told)
        elif expected.verdict != VIOLATED and "not judged" in verdicts:
            yield Difference(home.name, expected, NOT_JUDGED, told)
    for method, computed, limit in expected.numbers:
        figures = [figure for finding in said for figure in finding.figures if not method or figure[0] == method]
        if figures and not any(_same(computed, figure[1]) and _same(limit, figure[2]) for figure in figures):
            got = ", ".join(f"{figure[1]:g} against {figure[2]}" for figure in figures[:3])
            yield Difference(home.name, expected, NUMBER, f"{method or 'figures'}: {got}; the oracle {computed} against {limit}")


def _same(wanted: float | None, got: float | None) -> bool:
    return wanted is None or (got is not None and abs(wanted - got) <= RELATIVE * max(abs(wanted), 1e-9))


def figures_compared(home: Home) -> tuple[int, int]:
    """How many verdicts and numbers a home yields."""
    made = expectations(home)
    return sum(1 for expected in made if not expected.unsure), sum(len(expected.numbers) for expected in made)
