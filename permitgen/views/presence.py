"""What an installation has: a sentence of a document that speaks of a thing stands there only where the thing is."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from permitgen.rules.judgement import Verdict
from permitgen.system.walks.array_place import is_array_on_roof
from permitgen.system.walks.rapid_shutdown import arrays_of, initiators

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation

Thing = Literal[
    "photovoltaic",
    "energy storage",
    "generator",
    "vehicle",
    "array on a roof",
    "rapid shutdown",
    "source in parallel",
    "backup",
    "disputed reading",
]
_SOURCES: tuple[Thing, ...] = ("photovoltaic", "energy storage", "generator", "vehicle")


def things_of(evaluation: Evaluation) -> frozenset[Thing]:
    """Return what the installation has of the things that documents have sentences about."""
    system = evaluation.system
    kinds = {source.kind for source in system.sources.values()}
    found: set[Thing] = {kind for kind in _SOURCES if kind in kinds}
    if any(is_array_on_roof(array) for array in arrays_of(system)):
        found.add("array on a roof")
    if has_rapid_shutdown(evaluation):
        found.add("rapid shutdown")
    if kinds & {"photovoltaic", "energy storage", "vehicle"}:
        found.add("source in parallel")
    if any(source.forms_island for source in system.sources.values() if source.kind != "utility"):
        found.add("backup")
    if any(finding.readings for finding in evaluation.findings):
        found.add("disputed reading")
    return frozenset(found)


def has_rapid_shutdown(evaluation: Evaluation) -> bool:
    """Whether an array has or needs rapid shutdown, or nobody can tell that it does not."""
    asked = (finding for finding in evaluation.findings if finding.rule == "rapid-shutdown-required")
    needed = any(finding.verdict is not Verdict.DOES_NOT_APPLY for finding in asked)
    return needed or any(each.arrays for each in initiators(evaluation.system))
