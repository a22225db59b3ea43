"""What labels state that a violation denies: the line, with the numbers that the violations have on the sheets.

Only proofs show it. A label is not made other by it: its Document ID is that of what it says.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.views.label import LabelLine, LabelView
    from permitgen.views.violations import Violation, Violations

Denials = tuple[tuple[str, tuple[str, ...]], ...]
"""Lines of one label that are denied, each with the numbers of what denies it."""


def denials_of(labels: Sequence[LabelView], violations: Violations) -> tuple[Denials, ...]:
    """Return what is denied of each label, in their order; nothing of a label that is true."""
    about = {each.number: _is_about(each, labels) for each in violations.listed}
    return tuple(
        tuple(
            (line.text, numbers)
            for line in _lines(label)
            if (numbers := tuple(e.number for e in violations.listed if e.rule in line.denied_by and label.tag in about[e.number]))
        )
        for label in labels
    )


def numbers_of(denials: Denials) -> tuple[str, ...]:
    """Return the numbers of all that denies something of a label, each once, in their order."""
    return tuple(sorted({number for _, numbers in denials for number in numbers}, key=int))


def _is_about(violation: Violation, labels: Sequence[LabelView]) -> frozenset[str]:
    """Return the tags of the labels that a violation speaks of: those at what it names, else all that it could deny.

    A neutral that is bonded again in a panel makes the label in that panel false and not the one at the service; a rapid shutdown that
    leaves an array live makes every label false that promises it, and none of them hangs at the array.
    """
    could = {label.tag for label in labels if any(violation.rule in line.denied_by for line in _lines(label))}
    named = violation.tags | violation.around
    there = {tag for tag in could if {tag, tag.partition(".")[0]} & named}
    return frozenset(there or could)


def _lines(label: LabelView) -> tuple[LabelLine, ...]:
    return tuple(line for panel in label.panels for line in panel.lines)
