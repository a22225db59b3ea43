"""Ways of raceways and cables on the plan, from the places of the equipment they join."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.views.plans.cited import comparison, finding_of, not_kept, rounded
from permitgen.views.plans.parts import Outline, PlanRoute, Point
from permitgen.views.site_geometry import point_of

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.raceway import Raceway

_SHORT_FT = 0.5


def routes_of(evaluation: Evaluation) -> tuple[PlanRoute, ...]:
    """Return one route for each run whose two ends have places; runs with the same ends share one, tagged together."""
    found: dict[tuple[Point, Point, bool], list[Raceway]] = {}
    for tag, raceway in evaluation.system.raceways.items():
        ends = _ends(evaluation, tag)
        if ends is not None and abs(ends[0][0] - ends[1][0]) + abs(ends[0][1] - ends[1][1]) > _SHORT_FT:
            found.setdefault((*ends, bool(raceway.underground)), []).append(raceway)
    return tuple(_route(evaluation, start, end, raceways) for (start, end, _), raceways in found.items())


def _ends(evaluation: Evaluation, tag: str) -> tuple[Point, Point] | None:
    system = evaluation.system
    for circuit in system.circuits.values():
        if tag in circuit.runs:
            first, last = circuit.start.tag, circuit.finish.tag
            break
    else:
        control = next((c for c in system.controls.values() if tag in c.runs), None)
        if control is None:
            return None
        first, last = control.source, control.device
    places = [point_of(system.equipment[name].place) if name in system.equipment else None for name in (first, last)]
    if places[0] is None or places[1] is None:
        return None
    low, high = sorted((places[0], places[1]))
    return low, high


def _route(evaluation: Evaluation, start: Point, end: Point, raceways: list[Raceway]) -> PlanRoute:
    buried = bool(raceways[0].underground)
    words = [_words(raceway) for raceway in raceways]
    if buried:
        words = [line + _cover(evaluation, raceway) for line, raceway in zip(words, raceways, strict=True)]
        cited = dict.fromkeys(
            found.citation for raceway in raceways if (found := finding_of(evaluation, "burial-cover", raceway.tag)) is not None
        )
        words.append(", ".join(("UNDERGROUND", *cited)))
    return PlanRoute("/".join(raceway.tag for raceway in raceways), _square(start, end), tuple(words), buried)


def _cover(evaluation: Evaluation, raceway: Raceway) -> str:
    finding = finding_of(evaluation, "burial-cover", raceway.tag)
    if finding is None:
        return f", COVER {rounded(raceway.cover_in)}" if raceway.cover_in is not None else ""
    mark = not_kept(finding.verdict)
    compared = comparison(finding.judgement)
    return f", COVER {compared}{' ' + mark if mark else ''}" if compared else f", COVER {mark}"


def _words(raceway: Raceway) -> str:
    size = f"{raceway.trade_size} in " if raceway.trade_size else ""
    return f"{raceway.tag}: {size}{raceway.kind}"


def _square(start: Point, end: Point) -> Outline:
    """Return a way with one corner: along the longer direction last, so that it leaves the wall at its foot."""
    if abs(start[0] - end[0]) < 0.01 or abs(start[1] - end[1]) < 0.01:
        return (start, end)
    return (start, (end[0], start[1]), end) if abs(start[0] - end[0]) < abs(start[1] - end[1]) else (start, (start[0], end[1]), end)
