"""What JSON Schema can say of the text of one value, so that an editor marks what the reader refuses."""

from __future__ import annotations

from typing import Any

# What JSON Schema can say of a text: the letters of words in any case, and where figures and units stand.
FIGURES = "0-9¼½¾⅛⅜⅝⅞⅓⅔"
FIGURE_AND_UNIT = f"^(?=.*[^\\s.,+{FIGURES}-]).*[{FIGURES}]"
PLAIN_NUMBER = "^[^A-Za-z]*[0-9][^A-Za-z]*$"
_NO_ANSWER = r"^\s*(~|--?|–|—|[Nn]/[Aa]|[Nn][Uu][Ll][Ll])\s*$"
SCALAR: dict[str, Any] = {"type": ["string", "number", "boolean"], "not": {"type": "string", "pattern": _NO_ANSWER}}
"""Any single value: an editor reads 02134 as a number and no as an answer where the program reads text."""

SOURCE: dict[str, Any] = {"type": "string", "pattern": r"\S", "not": {"type": "string", "pattern": _NO_ANSWER}}
"""Who states a figure, and when."""


def words_schema(*words: str) -> dict[str, Any]:
    """Return the JSON Schema of words that are read in any letter case; an editor offers them in small letters."""
    letters = ("".join(f"[{c.upper()}{c}]" if c.isalpha() else c for c in each) for each in words)
    return {"anyOf": [{"enum": list(words)}, {"type": "string", "pattern": rf"^\s*({'|'.join(letters)})\s*$"}]}


def by_source(figure: dict[str, Any]) -> dict[str, Any]:
    """Return the form of a mapping of figures, each to who states it: ``{62 ft: utility letter, 58 ft: tape}``."""
    return {"type": "object", "minProperties": 1, "propertyNames": figure, "additionalProperties": SOURCE}


def whole_number() -> list[dict[str, Any]]:
    """Return the forms of a whole number, zero or more."""
    return [{"type": "integer", "minimum": 0}, {"type": "string", "pattern": PLAIN_NUMBER}]


def plain_number(**limits: float) -> list[dict[str, Any]]:
    """Return the forms of a number without unit, or of a percentage."""
    return [{"type": "number", **limits}, {"type": "string", "pattern": PLAIN_NUMBER}]


ANSWER: dict[str, Any] = {"anyOf": [words_schema("yes", "no"), words_schema("true", "false"), {"type": "boolean"}]}
"""Yes or no, as the program reads it and as editors read it."""

FIGURES_BY_SOURCE = by_source({"pattern": FIGURE_AND_UNIT})
NUMBERS_BY_SOURCE = by_source({"pattern": f"[{FIGURES}]"})
"""A figure, or a plain number, by each source that states it."""
