"""Ways of raceways and cables on the plan: as stated, else square between the places of the equipment they join."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.quantities.roof_obstructions import way_of
from permitgen.views.circuit_text import run_words
from permitgen.views.plans.cited import comparison, finding_of, not_kept, rounded
from permitgen.views.plans.parts import Outline, PlanRoute

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.raceway import Raceway


def routes_of(evaluation: Evaluation) -> tuple[PlanRoute, ...]:
    """Return one route for each run whose two ends have places; runs with the same ends share one, tagged together."""
    found: dict[tuple[Outline, bool], list[Raceway]] = {}
    for raceway in evaluation.system.raceways.values():
        way = way_of(evaluation.system, raceway)
        if way:
            found.setdefault((way, bool(raceway.underground)), []).append(raceway)
    return tuple(_route(evaluation, way, raceways) for (way, _), raceways in found.items())


def _route(evaluation: Evaluation, way: Outline, raceways: list[Raceway]) -> PlanRoute:
    buried = bool(raceways[0].underground)
    words = [_words(raceway) for raceway in raceways]
    if buried:
        words = [line + _cover(evaluation, raceway) for line, raceway in zip(words, raceways, strict=True)]
        cited = dict.fromkeys(
            found.citation for raceway in raceways if (found := finding_of(evaluation, "burial-cover", raceway.tag)) is not None
        )
        words.append(", ".join(("UNDERGROUND", *cited)))
    return PlanRoute("/".join(raceway.tag for raceway in raceways), way, tuple(words), buried)


def _cover(evaluation: Evaluation, raceway: Raceway) -> str:
    finding = finding_of(evaluation, "burial-cover", raceway.tag)
    if finding is None:
        return f", COVER {rounded(raceway.cover_in)}" if raceway.cover_in is not None else ""
    mark = not_kept(finding.verdict)
    compared = comparison(finding.judgement)
    return f", COVER {compared}{' ' + mark if mark else ''}" if compared else f", COVER {mark}"


def _words(raceway: Raceway) -> str:
    return f"{raceway.tag}: {run_words(raceway)}"
