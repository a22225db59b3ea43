"""Voltage drop and rise of circuits in words: one wording for the reviewer's calculation and for the schedule of the plan set."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.evaluation.review_figures import rise_path
from permitgen.rules.judgement import Verdict
from permitgen.views.findings import numbers_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.evaluation.finding import Finding

DROP, RISE = "voltage-drop", "voltage-rise"
NOTHING = "–"


def voltage_texts(evaluation: Evaluation) -> Mapping[str, str]:
    """Return for each circuit its drop, its rise with the circuits over which it is taken, or in whose rise it is counted."""
    circuits = evaluation.system.circuits
    paths = {tag: _path(evaluation, tag) for tag in circuits if _judged(evaluation, RISE, tag) is not None}
    return {tag: _drop(evaluation, tag) or _rise(evaluation, tag, paths) or NOTHING for tag in circuits}


def _path(evaluation: Evaluation, tag: str) -> tuple[str, ...]:
    return tuple(circuit.tag for circuit in rise_path(evaluation.given, evaluation.system.circuits[tag]))


def _drop(evaluation: Evaluation, tag: str) -> str:
    drop = _judged(evaluation, DROP, tag)
    if drop is None:
        return ""
    parts = [numbers_of(part)[0] for part in drop.judgement.parts] or [numbers_of(drop.judgement)[0]]
    with_feeder = f"; {parts[1]} in all" if len(parts) > 1 and parts[1] else ""
    return f"{parts[0]} drop{with_feeder}" if parts[0] else ""


def _rise(evaluation: Evaluation, tag: str, paths: Mapping[str, tuple[str, ...]]) -> str:
    own = _judged(evaluation, RISE, tag)
    computed = numbers_of(own.judgement)[0] if own is not None else ""
    if computed:
        path = paths[tag]
        over = f" over {', '.join(path)}" if len(path) > 1 else ""
        return f"{computed} rise{over}"
    counted = [first for first, path in paths.items() if tag in path[1:]]
    return f"in rise of {', '.join(counted)}" if counted else ""


def _judged(evaluation: Evaluation, rule: str, tag: str) -> Finding | None:
    finding = evaluation.by_id.get(f"{rule}:{tag}")
    return finding if finding is not None and finding.verdict is not Verdict.DOES_NOT_APPLY else None
