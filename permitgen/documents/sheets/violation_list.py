"""The list of what is violated, beside the red clouds that carry its numbers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.documents.sheets.flowing import Block, Heading, Notes

if TYPE_CHECKING:
    from collections.abc import Iterable

    from permitgen.views.sheet_marks import SheetMarks


def violation_notes(marks: SheetMarks, numbers: Iterable[str]) -> list[Block]:
    """Return the violations with these numbers as notes: rule, finding, section; nothing where there are none."""
    shown = marks.violations.numbered(numbers)
    words = tuple(f"{each.rule}: {each.sentence} ({each.section})" for each in shown)
    return [Notes(words, tuple(each.number for each in shown))] if shown else []


def violation_group(marks: SheetMarks, numbers: Iterable[str], where: str) -> list[Block]:
    """Return the same under a heading, as a group of its own; ``where`` is the subject that shows them."""
    notes = violation_notes(marks, numbers)
    return [Heading(f"Violated, shown in red on {where}"), *notes] if notes else []
