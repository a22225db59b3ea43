"""What a department asked for in earlier projects, looked for in this one: what is still missing, what is there, which answer is ready.

A point of its own kind, never a verdict of the code: nothing is violated by it, and it shuts no gate.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from permitgen.views.wording import plural

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from permitgen.system.asked import AskedBefore, Demand

Found = Literal["missing", "met", "answer ready", "not asked for here"]
_ORDER: tuple[Found, ...] = ("missing", "answer ready", "met", "not asked for here")


@dataclass(frozen=True, slots=True)
class AskedPoint:
    """A demand and how this project stands to it: ``when`` says when and where it was asked, ``detail`` what is missing or what answers."""

    about: str
    when: str
    found: Found
    detail: str
    file: str
    line: int


@dataclass(frozen=True, slots=True)
class Remembered:
    """What a department asked for, for the list of its memory: ``times`` counts the projects."""

    about: str
    looked_for: str
    when: str
    times: int
    answered: str


def point_of(asked: AskedBefore, found: Found, detail: str) -> AskedPoint:
    """Return the point of a demand that was looked for."""
    at = asked.at
    return AskedPoint(asked.demand.about, _when(asked.asked_in), found, detail, at.file if at else "", at.line if at else 0)


def _when(asked_in: Mapping[str, str]) -> str:
    """Return when it was asked, the newest day first: ``on 2026-05-04 in HB-0177, on 2026-03-02 in HB-0142``."""
    days = sorted(asked_in.items(), key=lambda pair: (pair[1], pair[0]), reverse=True)
    return ", ".join(f"on {day} in {project}" for project, day in days)


def in_order(points: Iterable[AskedPoint]) -> tuple[AskedPoint, ...]:
    """Return points as they are listed: what is missing first."""
    return tuple(sorted(points, key=lambda point: _ORDER.index(point.found)))


def asked_lines(points: Sequence[AskedPoint], *, briefly: bool = False) -> list[str]:
    """Return what a person has to know before the next submission: each demand that is missing, each answer that is ready, a count.

    ``briefly``, while the code is violated: answers that are ready wait.
    """
    if not points:
        return []
    lines = [f"Asked by the department before (no verdict of the code): {_counted(points)}"]
    for point in points:
        if point.found == "missing":
            lines.append(f"  asked {point.when}, still missing here: {point.about} ({point.detail})  [{point.file}:{point.line}]")
        elif point.found == "answer ready" and not briefly:
            lines.append(f"  asked {point.when}: {point.about}. Answer ready: {point.detail}")
    return lines


def _counted(points: Sequence[AskedPoint]) -> str:
    counts = Counter(point.found for point in points)
    return ", ".join(f"{counts[found]} {found}" for found in _ORDER if counts[found])


def asked_data(point: AskedPoint) -> dict[str, str]:
    """Return a point for other programs; its keys are a contract."""
    return {"about": point.about, "asked": point.when, "found": point.found, "detail": point.detail}


def remembered(asked: AskedBefore) -> Remembered:
    """Return a demand as the list of a department's memory shows it."""
    answered = "; ".join(f"{project}: {what}" for project, what in sorted(asked.answered_by.items()))
    return Remembered(asked.demand.about, looked_for(asked.demand), _when(asked.asked_in), len(asked.asked_in), answered)


def looked_for(demand: Demand) -> str:
    """Return in words how a demand is looked for."""
    only = [*(f"with {thing}" for thing in demand.only_with), *(f"without {thing}" for thing in demand.not_with)]
    where = f"; only {' and '.join(only)}" if only else ""
    if demand.answer:
        return f"answered: {demand.answer}{f' ({demand.section})' if demand.section else ''}{where}"
    if demand.shows:
        return f'"{demand.shows}" on {_document(demand.on)}{where}'
    if demand.attaches:
        return f'an attached document called "{demand.attaches}"{where}'
    limits = [f"{words} {text}" for words, text in (("at least", demand.at_least), ("at most", demand.at_most)) if text]
    return " ".join((demand.states, *([f"of each {demand.of}"] if demand.of else []), *(limits or ["is stated"]))) + where


def _document(name: str) -> str:
    return f"sheet {name}" if name[:1].isupper() else f"the {name}"


def memory_lines(name: str, authority: str, rows: Sequence[Remembered]) -> list[str]:
    """Return the memory of one department: what was asked most often first."""
    head = f"{name}, {authority}" if authority else name
    if not rows:
        return [f"{head}: nothing is kept"]
    lines = [f"{head}: {plural(len(rows), 'demand')}"]
    for row in sorted(rows, key=lambda row: (-row.times, row.about)):
        lines += [f"  {plural(row.times, 'time')}: {row.about}", f"      looked for: {row.looked_for}", f"      asked {row.when}"]
        lines += [f"      answered by {row.answered}"] if row.answered else []
    return lines
