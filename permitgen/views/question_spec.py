"""Who knows a fact that a rule asks for, in which question it is put, and the key that answers it: the rows of ``questions.yaml``."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

import yaml

# In the order in which people are asked: what can be read off at the desk first, what needs another's decision last.
WHO_KNOWS = ("nameplate", "data sheet", "utility letter", "site", "installer", "authority")
OTHER = "other"
_TAG, _WORDS = re.escape("{tag}"), re.escape("*")
# A tag is whole: words behind it begin where no letter or figure of a tag stands.
_WHOLE_TAG, _FURTHER = "(?P<tag>.+?)", r"(?![\w.-]).*"


@dataclass(frozen=True, slots=True)
class AskedFor:
    """One row: ``pattern`` fits what rules ask for, ``asked`` is the same as written, ``keys`` answer it by the kind of equipment.

    ``other`` is the key of all kinds that are not named, empty where no single one answers.
    ``question`` is the one that several rows share, ``knows`` who can answer it.
    """

    asked: str
    pattern: re.Pattern[str]
    keys: Mapping[str, str]
    question: str
    knows: str

    def key(self, kind: str = OTHER) -> str:
        """Return the key that answers it for a kind of equipment."""
        return self.keys.get(kind, self.keys[OTHER])

    def is_answered_by(self, key: str) -> bool:
        """Return whether a key answers it for any kind of equipment."""
        return key in {each.removeprefix("^") for each in self.keys.values()}


@cache
def rows() -> tuple[AskedFor, ...]:
    """Return every row of the file, in its order."""
    read: list[dict[str, Any]] = yaml.safe_load(files("permitgen.views").joinpath("questions.yaml").read_text("utf-8"))
    return tuple(
        AskedFor(asked, _pattern(asked), key if isinstance(key, dict) else {OTHER: key}, group["question"], group["knows"])
        for group in read
        for asked, key in group["facts"].items()
    )


def _pattern(asked: str) -> re.Pattern[str]:
    return re.compile(re.escape(asked).replace(_TAG + _WORDS, _WHOLE_TAG + _FURTHER).replace(_TAG, _WHOLE_TAG).replace(_WORDS, ".*"))


@cache
def row_of(fact: str) -> tuple[AskedFor, str] | None:
    """Return the row that fits what a rule asks for most closely, with the tag it names (empty for none); None where no row does."""
    fitting = [(row, match) for row in rows() if (match := row.pattern.fullmatch(fact))]
    if not fitting:
        return None
    row, match = max(fitting, key=lambda found: _told(found[0]))
    return row, match.groupdict().get("tag") or ""


def _told(row: AskedFor) -> int:
    """How many letters of a question a row tells; of several that fit, the one that tells most is meant."""
    return len(row.asked.replace("{tag}", "").replace("*", ""))
