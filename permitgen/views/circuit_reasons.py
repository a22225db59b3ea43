"""Why a circuit's conductors carry what they carry and are protected by their device: tables and sections, for calculation and schedule."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Verdict
from permitgen.values.equation import Derivation
from permitgen.values.origin import ProvisionField, TableCell
from permitgen.views.wording import with_numbers_held

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.evaluation.review_figures import CircuitFigures
    from permitgen.rules.judgement import Judgement
    from permitgen.system.circuit import Circuit
    from permitgen.values.value import Value

_PROTECTION = "conductor-protection"
_NEXT_SIZE = "next size up"
_WAYS = {"output of the sources": "output", "whole dwelling, 83 percent": "83 %", "table of dwelling service conductors": "table"}
"""Ways whose section alone does not say them; of any other way the section does."""


@dataclass(frozen=True, slots=True)
class ProtectedBy:
    """The sections by which the device of a circuit protects it, and the same with the way in words."""

    sections: tuple[str, ...]
    text: str


def protected_by(evaluation: Evaluation, circuit: Circuit) -> ProtectedBy:
    """Return by which section the conductors are protected, and by which way where it is not their ampacity alone."""
    finding = evaluation.by_id.get(f"{_PROTECTION}:{circuit.tag}")
    if finding is None or finding.verdict in (Verdict.DOES_NOT_APPLY, Verdict.NOT_JUDGED):
        return ProtectedBy((), "")
    next_size = evaluation.given.code.provision("next_size_up").section
    found = {part.section: _way(part, next_size) for part in _deciding(finding.judgement)}
    return ProtectedBy(tuple(found), "; ".join(f"{section} {way}".strip() for section, way in found.items()))


def _deciding(judgement: Judgement) -> list[Judgement]:
    """Return the ways that hold, or for each device the one that decides; of what fails, what fails."""
    return [part for part in judgement.parts if part.verdict is judgement.verdict and part.section] or [judgement]


def _way(part: Judgement, next_size: str) -> str:
    return _NEXT_SIZE if part.section == next_size else _WAYS.get(part.method, "")


def ampacity_tables(figures: CircuitFigures) -> tuple[tuple[str, str], ...]:
    """Return from which table or section the ampacity of the governing run and each factor is, in the order of the columns."""
    if figures.ampacity is None:
        return ()
    run = figures.ampacity.governing
    read = {
        "ampacity": _cited(run.table_a),
        "ambient": dict.fromkeys((*_cited(run.ambient_factor), *_of_derivation(run.ambient_c))),
        "count": _cited(run.count_factor),
        "insulation": _cited(run.insulation.start_c),
    }
    return tuple((what, number) for what, numbers in read.items() for number in numbers)


def cited_numbers(cited: Iterable[tuple[str, str]]) -> tuple[str, ...]:
    """Return the tables and sections alone."""
    return tuple(with_numbers_held(number) for _, number in cited)


def limit_of_cable(evaluation: Evaluation, figures: CircuitFigures) -> str:
    """Return the section that holds a cable to a lower temperature than its terminals are marked for; empty where none does."""
    held = figures.terminals.held_by if figures.terminals is not None else None
    return evaluation.given.code.provision(held.limited_by).section if held is not None and held.limited_by else ""


def _cited(value: Value) -> tuple[str, ...]:
    return tuple(dict.fromkeys((*_of_derivation(value), *_of_leaves(value))))


def _of_derivation(value: Value) -> tuple[str, ...]:
    return (value.origin.section,) if isinstance(value.origin, Derivation) and value.origin.section else ()


def _of_leaves(value: Value) -> Iterator[str]:
    for leaf in value.leaves():
        if isinstance(leaf.origin, TableCell):
            yield leaf.origin.number
        elif isinstance(leaf.origin, ProvisionField):
            yield leaf.origin.section
