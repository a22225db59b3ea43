"""Words that stand for a fact: yes, no, unknown."""

from __future__ import annotations

from permitgen.project.quantity_error import QuantityError
from permitgen.reading.problems import quoted

UNKNOWN = "unknown"

_YES = {"yes", "true"}
_NO = {"no", "false"}
_NEARLY = {"y": "yes", "on": "yes", "1": "yes", "n": "no", "off": "no", "0": "no", "none": "no"}


def is_unknown(text: str) -> bool:
    """Tell whether the writer says the fact is not known: the word ``unknown``, in any letter case."""
    return text.strip().casefold() == UNKNOWN


def parse_yes_no(text: str) -> bool:
    """Return True for ``yes`` (or ``true``), False for ``no`` (or ``false``), in any letter case.

    Raises:
        QuantityError: any other word.
    """
    word = text.strip().casefold()
    if word in _YES:
        return True
    if word in _NO:
        return False
    meant = f'; did you mean "{_NEARLY[word]}"?' if word in _NEARLY else ""
    raise QuantityError(f'{quoted(text)} is neither "yes" nor "no"{meant}')
