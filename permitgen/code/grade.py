"""How well the text behind a row of the code is known: read, reported by others, not recorded, or not read at all."""

from __future__ import annotations

import re
from enum import StrEnum


class Grade(StrEnum):
    """Grade of the text of one provision, or table, in one edition; what a finding prints beside its section."""

    TEXT_READ = "text read"
    REPORTED = "reported"
    PRACTICE = "common practice"
    NOT_RECORDED = "source not recorded"
    NOT_READ = "not read"


_PRACTICE = "common practice"


def derived_grade(source: str, column: str, *, section: str = "") -> Grade:
    """Return the grade that ``source`` earns in the edition ``column``.

    A source that names the text of the edition was read; one that names its year reports; one that names neither says nothing
    about this edition. A row of its own for an edition (``source: {2023: …}``) therefore names the edition too.
    """
    if section.startswith(_PRACTICE):
        return Grade.PRACTICE
    if re.search(rf"NEC {column} text|= NEC {column}\b|{column} text", source):
        return Grade.TEXT_READ
    return Grade.REPORTED if re.search(rf"\b{column}\b", source) else Grade.NOT_RECORDED
