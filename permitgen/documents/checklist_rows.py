"""The rows of the field checklist on paper, the same in the PDF and in the DOCX: looks, tables of readings and single lines."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.documents.canvas.colors import PALE_GRAY
from permitgen.documents.canvas.table import Cell, Row
from permitgen.documents.canvas.typography import Run, Words, muted, strong

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.views.checklist.blocks import Block as AnsweredBlock
    from permitgen.views.field_checklist import ChecklistLine, ChecklistSection, FieldChecklist

# Room for a hand: a row that is answered by itself, and one of a table of readings.
_ROW_MM = 7.5
_CELL_MM = 6.5
_ITEMS_TOGETHER = 6
_LOOK_ANSWER = "☐ all as drawn here; otherwise, and why:"
_TEST_POWER = (
    "Begin only when every test above has passed. Power is on for the tests; the house is left in service after the last has passed."
)
INTRO = (
    "An entry that is not made is not done; it is never a pass. A look is ticked once where all of it is as drawn: what is otherwise is "
    "struck and written beside it. Write “not tested” with the reason where a test "
    "could not be made. Strike a wrong entry through once, so that it stays readable, and write the new one beside it."
)


def checklist_rows(view: FieldChecklist) -> tuple[Row, ...]:
    """Return the rows of every section, in three columns: what is checked, room for what was found, room for who and when."""
    places = frozenset(section.intro for section in view.sections)
    tellers = [_Told(section, view.title.edition, places) for section in view.sections]
    return tuple(row for number, told in enumerate(tellers, 1) for row in _section(number, told))


def steps_text(section: ChecklistSection) -> str:
    """Return steps that are read and done, without an entry."""
    return "   ".join(f"{number}. {line.instruction}." for number, line in enumerate(section.lines, 1))


def _section(number: int, told: _Told) -> Iterator[Row]:
    section = told.section
    name = f"{number}. {section.title}"
    lead = (Run(name), muted(f"   {section.intro}")) if section.intro else name
    yield Row((Cell(lead, span=3),), kind="section", bookmark=name, keep_with_next=True, fill=PALE_GRAY)
    if section.id == "energize":
        yield Row((Cell((strong("Energize for test. "), Run(_TEST_POWER)), span=3),), keep_with_next=True)
    for block in section.blocks:
        yield from _rows(told, block)


@dataclass(slots=True)
class _Told:
    """What stands already above in a section and need not be said again: the way of measuring, the reason, the source.

    ``places`` stand in the headings of enclosures, each once.
    """

    section: ChecklistSection
    book: str
    places: frozenset[str]
    last: tuple[str, ...] = ()
    how: str = ""

    def small(self, line: ChecklistLine) -> str:
        """Return the small print of a line, without what the line before it said."""
        place = "" if line.place in self.places else line.place
        given = tuple(part for part in (line.why, place, self.source(line), "photo" if line.photo else "") if part)
        fresh = [part for part in given if part not in self.last]
        self.last = given
        return " · ".join(fresh)

    def proof(self, line: ChecklistLine, *, in_table: bool) -> str:
        """Return how a test is made, unless the line before is made in the same way; in a table what is closed differs with the line."""
        parts = line.proof.parts if line.proof is not None else ()
        how = ". ".join(f"{name}: {words}" for name, words in parts if not in_table or name != "Closed")
        if not how or how == self.how:
            return "" if in_table or not how else "Made in the same way as the test before."
        self.how = how
        return how

    def source(self, line: ChecklistLine) -> str:
        """Return where a line comes from; the book itself stands in the footer of every page."""
        return f"[{line.basis}] {line.source.replace(f'{self.book} ', '')}".strip()

    def tag(self, line: ChecklistLine) -> str:
        """Return the tag before a line, where the heading of the section is not about that one thing."""
        return f"{line.tag}  " if line.tag and self.section.id != f"at:{line.tag}" else ""


def _rows(told: _Told, block: AnsweredBlock) -> Iterator[Row]:
    """Return a look as its items and room for one answer, a table as a row for each termination or reading, a line alone as one row."""
    if block.kind == "look":
        looks = list(_looks(told, block))
        for words in looks:
            yield Row((Cell(words, span=3),), keep_with_next=words is looks[-1], is_ruled=False)
        yield Row((_LOOK_ANSWER, _cells(block.lines), ""), least_height_mm=_ROW_MM)
    elif block.kind == "table":
        yield Row((Cell((strong(block.title),), span=3),), keep_with_next=True)
        for lines in _together(block.lines):
            yield from _proof(told, lines[0], in_table=True)
            yield _table_row(told, lines)
    else:
        line = block.lines[0]
        yield from _proof(told, line, in_table=False)
        yield Row((_what(told, line), _found(line), ""), least_height_mm=_ROW_MM)


def _proof(told: _Told, line: ChecklistLine, *, in_table: bool) -> Iterator[Row]:
    how = told.proof(line, in_table=in_table)
    if how:
        yield Row((Cell((muted(how),), span=3),), keep_with_next=True, is_ruled=False)


def _looks(told: _Told, block: AnsweredBlock) -> Iterator[Words]:
    """Yield the items of a look as running text, each with a box to strike where it is otherwise; in pieces that a page may part."""
    items = [line for line in block.lines if line.rule.kind != "text"]
    for first in range(0, len(items), _ITEMS_TOGETHER):
        runs: list[Run] = [strong(f"{block.title} ")] if first == 0 else []
        for line in items[first : first + _ITEMS_TOGETHER]:
            value = f": {line.expected}" if line.expected else ""
            runs += [Run(f"  ☐ {told.tag(line)}{line.instruction}{value} "), muted(told.source(line))]
        yield tuple(runs)


def _cells(lines: Sequence[ChecklistLine]) -> str:
    """Return room for what is written in a look: a serial number."""
    return "\n".join(f"{line.instruction}: ____________" for line in lines if line.rule.kind == "text")


def _together(lines: Sequence[ChecklistLine]) -> Iterator[tuple[ChecklistLine, ...]]:
    """Yield the lines of each termination together; every other reading by itself."""
    waiting: list[ChecklistLine] = []
    for line in lines:
        if waiting and (line.rule.kind != "torque" or line.group != waiting[0].group):
            yield tuple(waiting)
            waiting = []
        waiting.append(line)
    if waiting:
        yield tuple(waiting)


def _table_row(told: _Told, lines: tuple[ChecklistLine, ...]) -> Row:
    first = lines[0]
    if first.rule.kind != "torque":
        return Row((_what(told, first), Cell(_found(first), span=2)), least_height_mm=_CELL_MM)
    screws: dict[str, list[str]] = {}
    for line in lines:
        role, _, conductor = line.instruction.partition(": ")
        expected = line.expected.removesuffix(" on the equipment")
        screws.setdefault(f"{conductor}, {expected}", []).append(role)
    words = "; ".join(f"{', '.join(roles)}: {what}" for what, roles in screws.items())
    what = (strong(f"{first.group_title}  "), Run(words), muted(f"  {told.small(first)}"))
    room = "  ".join(f"{line.instruction.partition(':')[0]} {_blank(line)}" for line in lines)
    return Row((what, Cell(room, span=2)), least_height_mm=_CELL_MM)


def _blank(line: ChecklistLine) -> str:
    """Return room for one torque; where nothing is stated, for the value marked and the one applied."""
    return "____ / ____" if line.inputs else "_____"


def _what(told: _Told, line: ChecklistLine) -> Words:
    runs = [strong(told.tag(line)), Run(line.instruction)]
    if line.expected or line.limit:
        runs.append(strong(f"  {' '.join(part for part in (line.expected, line.limit) if part)}"))
    small = told.small(line)
    return (*runs, muted(f"   {small}")) if small else tuple(runs)


def _found(line: ChecklistLine) -> Words:
    kind = line.rule.kind
    if kind == "done":
        return "☐ yes   ☐ no"
    if kind == "match":
        return "☐ as drawn   ☐ other:"
    further = "".join(f"{i.label}: _____ {i.unit}\n" for i in line.inputs)
    return f"{further}________ {line.unit}" if line.unit else "________________"
