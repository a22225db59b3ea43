"""References between sheets: a subject is named by its own number, and printed as the sheet on which it stands."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.documents.canvas.shapes import Group, Shape, Text

if TYPE_CHECKING:
    from collections.abc import Mapping

    from permitgen.documents.sheets.sheet import Drawing

_NUMBER = re.compile(r"\b[A-Z]{1,2}-\d{3}\b(?!-\d)")


def resolved(words: str, homes: Mapping[str, str]) -> str:
    """Return words with each subject that has no sheet of its own named by the sheet on which it stands."""
    return _NUMBER.sub(lambda found: homes.get(found.group(), found.group()), words)


def referring(drawing: Drawing, homes: Mapping[str, str]) -> Drawing:
    """Return a drawing whose references lead to sheets that there are."""
    return replace(drawing, shapes=tuple(_resolved(shape, homes) for shape in drawing.shapes)) if homes else drawing


def _resolved(shape: Shape, homes: Mapping[str, str]) -> Shape:
    if isinstance(shape, Text):
        words = resolved(shape.text, homes)
        return replace(shape, text=words) if words != shape.text else shape
    if isinstance(shape, Group):
        return replace(shape, shapes=tuple(_resolved(each, homes) for each in shape.shapes))
    return shape
