"""The label schedule of the plan set: wording, place, letters, colors and section of each label, and the old ones that must go."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.views.label import color_words
from permitgen.views.schedules import Schedule, with_rows
from permitgen.views.wording import number_text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.views.label import LabelView
    from permitgen.views.label_set import LabelSet

LetterHeights = tuple[tuple[float, float | None], ...]
"""Height of the capitals of each printed line of a label, in, and the least that its section fixes; None where it fixes none."""
_HEADINGS = ("NO.", "LABEL", "WORDING", "PLACE", "QTY", "LETTERS", "SECTION")


def label_schedule(labels: LabelSet, letters: Sequence[LetterHeights]) -> tuple[Schedule, ...]:
    """Return the labels, ``letters`` as each is printed; and those that must go."""
    rows = tuple(
        (
            str(index),
            label.name,
            label_words(label),
            "; ".join(label.places),
            str(label.quantity),
            f"{letters_text(heights)}, {color_words(label)}",
            label.section or "common practice",
        )
        for index, (label, heights) in enumerate(zip(labels.labels, letters, strict=True), start=1)
    )
    removed = tuple((note.name, note.tag, note.place, note.why) for note in labels.remove)
    return with_rows(
        Schedule("Labels", _HEADINGS, rows, tuple((label.tag,) for label in labels.labels)),
        Schedule(
            "Old labels to take off, where they hang",
            ("LABEL", "ON", "PLACE", "WHY"),
            removed,
            tuple((note.tag,) for note in labels.remove),
        ),
    )


def label_words(label: LabelView) -> str:
    """Return the wording of a label on one line, its lines parted by slashes."""
    lines = [line.text for panel in label.panels for line in panel.lines]
    return " / ".join(lines)


def letters_text(heights: LetterHeights) -> str:
    """Return the smallest printed height for each least height, the largest first: *0.47 in (≥ 0.375), 0.13 in*."""
    smallest: dict[float | None, float] = {}
    for printed, least in heights:
        smallest[least] = min(printed, smallest.get(least, printed))
    ordered = sorted(smallest.items(), key=_least_first)
    return ", ".join(_height(printed, least) for least, printed in ordered) or "fits no sheet"


def _least_first(pair: tuple[float | None, float]) -> tuple[bool, float]:
    return pair[0] is None, -pair[1]


def _height(printed: float, least: float | None) -> str:
    bound = f" (≥ {number_text(least, 'in', decimals=4)})" if least is not None else ""
    return f"{number_text(printed, 'in', decimals=3)} in{bound}"
