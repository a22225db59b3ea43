"""How a reviewer finds his way: the questions he asks, and an index by section of the code."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.views.reviewer.parts import IndexEntry, Question

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from permitgen.views.reviewer.parts import ReviewSection


@dataclass(frozen=True, slots=True)
class _Asked:
    """A question, the section that answers it, and the rules (or a way of one) whose rows do; without rules, the whole section."""

    text: str
    section: str
    sheet: str
    rules: tuple[str, ...] = ()


_QUESTIONS = (
    _Asked("What fails, and what is open?", "open", "E-605"),
    _Asked("What flows in each circuit, and behind which device?", "circuits", "E-603"),
    _Asked("Are the conductors right after factors and at their terminals?", "circuits", "E-603"),
    _Asked("Is each equipment ground large enough, and why?", "circuits", "E-603"),
    _Asked("How large is the voltage drop or rise?", "circuits", "E-603"),
    _Asked("Are the raceways within their fill?", "circuits", "E-603"),
    _Asked("120 % rule and the other ways for a busbar", "busbars", "E-604", ("opposite end, 120 percent", "busbar-sources")),
    _Asked("Is each panel protected at its rating?", "busbars", "E-604", ("panelboard-protection",)),
    _Asked("Does the service carry the load?", "loads", "E-606", ("service-capacity",)),
    _Asked("Which load calculation, with which terms?", "loads", "E-606", ("terms",)),
    _Asked("Where are service and emergency disconnect?", "service", "E-601", ("emergency-disconnect", "service-disconnect-location")),
    _Asked("Can each source be disconnected?", "service", "E-601", ("source-disconnect", "pv-disconnect")),
    _Asked("Do the sources carry the house without the utility?", "island", "E-606", ("backup-capacity",)),
    _Asked("Are generator and utility kept apart?", "island", "E-601", ("transfer-interlock", "generator-not-parallel")),
    _Asked("Fault current at each point against each rating", "fault", "E-603", ("interrupting-rating", "short-circuit-current-rating")),
    _Asked("Grounding electrodes and their conductor", "grounding", "E-501", ("grounding-electrode-conductor-size",)),
    _Asked("Where is the neutral bonded?", "grounding", "E-501", ("single-neutral-bond",)),
    _Asked("Where does the storage stand, and how much of it?", "siting", "A-401", ("storage-energy", "storage-place", "storage-spacing")),
    _Asked("Working space at the equipment", "siting", "A-201", ("working-space",)),
    _Asked("Highest voltage of strings or modules", "solar", "E-601", ("pv-maximum-voltage", "pv-module-input-voltage")),
    _Asked("Does rapid shutdown work?", "solar", "E-601", ("rapid-shutdown-required", "rapid-shutdown-inside-array")),
    _Asked("What was assumed?", "assumptions", ""),
)


def questions_of(sections: Sequence[ReviewSection]) -> tuple[Question, ...]:
    """Return the questions that this project raises, each with the rows that answer it."""
    by_key = {section.key: section for section in sections}
    found = ((asked, _answers(by_key[asked.section], asked)) for asked in _QUESTIONS if asked.section in by_key)
    return tuple(Question(asked.text, keys, asked.sheet) for asked, keys in found if keys)


def _answers(section: ReviewSection, asked: _Asked) -> tuple[str, ...]:
    if not asked.rules:
        return (section.key,)
    if asked.rules == ("terms",):
        return tuple(table.key for table in section.loads)
    keys = tuple(line.key for rule in asked.rules for line in section.lines if rule in line.rules)
    also = tuple(section.also_key for each in section.also if each.rule in asked.rules)
    return (*keys, *dict.fromkeys(also))


_BASE = re.compile(r"\d{3,4}\.\d+|R\d{3}(?:\.\d+)*|Chapter\s\d+ Table\s\w+|Table\s\d{3}\.\d+|Article\s\d+")


def index_of(sections: Sequence[ReviewSection]) -> tuple[IndexEntry, ...]:
    """Return the sections of the code in order, each with the rows that rest on it."""
    found: dict[str, dict[str, None]] = {}
    for section in sections:
        for text, key in _cited(section):
            for base in _BASE.findall(text.replace("\u00a0", " ")):
                found.setdefault(base, {})[key] = None
    return tuple(IndexEntry(base, tuple(keys)) for base, keys in sorted(found.items(), key=lambda pair: _order(pair[0])))


def _cited(section: ReviewSection) -> Iterator[tuple[str, str]]:
    # The rows of circuits have no room for sections; the note above them has them all.
    yield from ((cited, section.key) for line in section.circuits for cited in line.sections)
    yield from ((line.section, line.key) for line in section.lines)
    for table in section.loads:
        yield table.section, table.key
        yield from ((line.section, line.key) for line in table.lines)
    yield from ((each.section, section.also_key) for each in section.also)


def _order(base: str) -> tuple[str, list[int]]:
    """Numbers by value: 110.9 before 110.10; books with letters after those without."""
    letters = re.sub(r"[\d.]+", "", base)
    return (letters, [int(number) for number in re.findall(r"\d+", base)])
