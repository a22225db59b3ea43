"""Panels as they are seen with the cover open: every breaker in its space, the end at which the supply enters, what the busbar carries."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from permitgen.rules.judgement import Verdict
from permitgen.system.panel_rows import PanelRow, loads_without_device, panel_rows, rows_by_name
from permitgen.system.walks.dc_circuits import circuit_at
from permitgen.views.circuit_text import device_text
from permitgen.views.findings import finding_text, way_verdict
from permitgen.views.one_line_notes import brings_source
from permitgen.views.vocabulary import verdict_word
from permitgen.views.wording import value_text

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.system import System
    from permitgen.views.schedules import Schedule

FaceKind = Literal["source", "load", "spare"]
_RULES = ("busbar-sources", "panelboard-protection")


@dataclass(frozen=True, slots=True)
class FaceBreaker:
    """A breaker: the spaces it takes (none where it stands at a terminal, ``place``), what it is and serves, which row of the schedule."""

    spaces: tuple[int, ...]
    place: str
    words: str
    kind: FaceKind
    row: int


@dataclass(frozen=True, slots=True)
class PanelFace:
    """A panel. ``main`` is its main device or how it is fed, ``supply_end`` where that enters, empty where not stated.

    ``blank`` are spaces closed by a filler; a space that is neither taken nor blank is not stated. ``sums`` say what the busbar is
    judged by, ``beside`` what stands in no space. ``schedule`` tells the same as rows, by which changes are found.
    """

    schedule: Schedule
    spaces: int
    supply_end: str | None
    main: str
    main_row: int | None
    breakers: tuple[FaceBreaker, ...]
    blank: tuple[int, ...]
    lugs: str
    sums: tuple[str, ...]
    beside: tuple[str, ...]


def panel_face(evaluation: Evaluation, tag: str, spaces: int, supply_end: str | None, schedule: Schedule) -> PanelFace:
    """Return the face of a panel whose rows ``schedule`` tells: named places first, then spaces, as ``panel_rows`` has them."""
    system = evaluation.system
    shown = (*rows_by_name(system, tag), *panel_rows(system, tag))
    main = next((index for index, row in enumerate(shown) if row.place == "main"), None)
    through = circuit_at(system, tag, "feed_through")
    directory = system.equipment[tag].directory
    return PanelFace(
        schedule=schedule,
        spaces=spaces,
        supply_end=supply_end,
        main=_main_words(system, tag, shown[main] if main is not None else None),
        main_row=main,
        breakers=tuple(
            FaceBreaker(row.spaces, row.place, _words(row), _kind(system, tag, row), index)
            for index, row in enumerate(shown)
            if index != main
        ),
        blank=tuple(directory.blank) if directory is not None else (),
        lugs=f"FEED-THROUGH LUGS, {through.tag}" if through is not None else "",
        sums=tuple(line for rule in _RULES for line in _sum_lines(evaluation, rule, tag)),
        beside=tuple(f"{load.tag} {load.name}".strip() for load in loads_without_device(system, tag)),
    )


def _main_words(system: System, tag: str, main: PanelRow | None) -> str:
    if main is not None:
        return f"MAIN {_device(main)}"
    fed_by = circuit_at(system, tag, "main")
    return f"MAIN LUGS, {fed_by.tag}" if fed_by is not None else "NO MAIN"


def _device(row: PanelRow) -> str:
    """Return poles, rating and interrupting rating of a device; the last is left out where nobody stated it."""
    if row.device is None:
        return "device not stated"
    rating = row.device.interrupting_rating_ka
    existing = " (E)" if row.device.status == "existing" else ""
    return f"{device_text(row.device)}{f', {value_text(rating)}' if rating is not None else ''}{existing}"


def _words(row: PanelRow) -> str:
    tag = row.circuit.tag if row.circuit is not None else row.load.tag if row.load is not None else ""
    name = "SPARE" if row.is_spare else row.name
    return "  ".join(part for part in (row.place, _device(row), " ".join(word for word in (tag, name) if word)) if part)


def _kind(system: System, tag: str, row: PanelRow) -> FaceKind:
    if row.is_spare:
        return "spare"
    landing = next((end for end in row.circuit.ends if end.tag == tag), None) if row.circuit is not None else None
    is_source = row.circuit is not None and landing is not None and brings_source(system, row.circuit, landing)
    return "source" if is_source else "load"


def _word_of(verdict: str, of_all: str) -> str:
    return verdict_word(way_verdict(verdict, of_all))


def _sum_lines(evaluation: Evaluation, rule: str, tag: str) -> list[str]:
    """Return what a rule compares at a panel: each method with its numbers, and the verdict of all."""
    finding = evaluation.by_id.get(f"{rule}:{tag}")
    if finding is None or finding.verdict is Verdict.DOES_NOT_APPLY:
        return []
    text = finding_text(finding, "")
    methods = dict.fromkeys(
        ": ".join(part for part in (each.name or each.section, f"{each.comparison}, {_word_of(each.verdict, text.verdict)}") if part)
        for each in text.methods
        if each.computed
    )
    said = text.message.removeprefix(f"{tag}: ")
    return [f"{said}: {verdict_word(text.verdict)} ({text.section})", *methods]
