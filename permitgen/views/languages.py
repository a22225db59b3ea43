"""Phrases by language, and places said in another language where every word of them is known."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files
from typing import Any

import yaml

from permitgen.values.listed_words import listed
from permitgen.views.vocabulary import things

LANGUAGES = ("en", "es")
"""English first: it is the language of the code and the one others fall back to."""


@dataclass(frozen=True)
class Phrases:
    """The phrases of one language. ``own`` are the project's own translations of its places and names."""

    language: str
    lines: Mapping[str, str]
    own: Mapping[str, str] = field(default_factory=dict)

    def say(self, key: str, **values: object) -> str:
        """Return the phrase ``key`` with ``values`` filled in.

        Raises:
            KeyError: no phrase has this key, or a value it needs is missing.

        """
        return self.lines[key].format_map(values)

    def choose(self, *keys: str, **values: object) -> str:
        """Return the first phrase of ``keys`` that exists, filled in.

        Raises:
            KeyError: none of them exists.

        """
        return self.say(next((key for key in keys[:-1] if key in self.lines), keys[-1]), **values)

    def place(self, description: str) -> str:
        """Return a place in this language: the project's own translation, else a known phrase, else as the project says it."""
        if not description or self.language == "en":
            return description
        if description in self.own:
            return self.own[description]
        return translated_place(description, self.language) or description

    def listed(self, words: tuple[str, ...]) -> str:
        """Join words as a sentence does: ``one, two and three``."""
        return listed(words, self.lines["and"])


@cache
def _lines(language: str) -> Mapping[str, str]:
    """Return the phrases of one language with the homeowner's words of things."""
    loaded: Any = yaml.safe_load(files("permitgen.views.phrases").joinpath(f"{language}.yaml").read_text("utf-8"))
    words = {key: thing.at_home(language) for key, thing in things().items()}
    return words | {str(key): str(text) for key, text in loaded.items()}


@cache
def _places(language: str) -> Mapping[str, Mapping[str, str]]:
    source = files("permitgen.views.phrases").joinpath(f"{language}_places.yaml")
    loaded: Mapping[str, Mapping[str, str]] = yaml.safe_load(source.read_text("utf-8"))
    return loaded


def phrases_in(language: str, own: tuple[tuple[str, str, str], ...] = ()) -> Phrases:
    """Return the phrases of ``language`` over those of English; ``own`` as ``RecordFacts.translations`` has them."""
    lines = {**_lines("en"), **_lines(language)}
    return Phrases(language, lines, {words: said for code, words, said in own if code == language})


_SIDES = re.compile(r"\b(?:right|left|front|back) (?:wall|corner|lot line)\b", re.IGNORECASE)


def speaks_of_sides(text: str) -> bool:
    """Whether a place is told by right, left, front or back of a building, so that somebody has to say from where."""
    return _SIDES.search(text) is not None


def translated_place(description: str, language: str) -> str:
    """Return a place said in ``language``; empty where any part of it is not known."""
    parts = [_part(part.strip().casefold(), language) for part in description.split(",")]
    if not all(parts):
        return ""
    said = ", ".join(parts)
    return said[0].upper() + said[1:] if description[0].isupper() else said


def _part(text: str, language: str) -> str:
    data = _places(language)
    for pattern, said in data["patterns"].items():
        found = _pattern(pattern, language).fullmatch(text)
        if found is None:
            continue
        groups = found.groupdict()
        noun = data["nouns"].get(groups.get("n") or "", "")
        values = {
            "d": data["directions"].get(groups.get("d") or "", ""),
            "s": data["sides"].get(groups.get("s") or "", ""),
            "l": _length(groups.get("l") or "", data["units"]),
        }
        values |= {"n": _without_article(noun), "de": f"de {noun}", "a": f"a {noun}"}
        return said.format_map(values).replace("de el ", "del ").replace("a el ", "al ")
    return ""


@cache
def _pattern(pattern: str, language: str) -> re.Pattern[str]:
    data = _places(language)
    directions = "|".join(sorted(data["directions"], key=len, reverse=True))
    nouns = "|".join(sorted((re.escape(noun) for noun in data["nouns"]), key=len, reverse=True))
    parts = {
        "d": directions,
        "n": nouns,
        "s": "|".join(data["sides"]),
        "l": rf"(?:[0-9][0-9./]* (?:{'|'.join(data['units'])}) ?)+?",
    }
    return re.compile(re.sub(r"\\{([dnsl])\\}", lambda found: _group(str(found[1]), parts), re.escape(pattern)))


def _group(name: str, parts: Mapping[str, str]) -> str:
    return f"(?P<{name}>{parts[name]})"


def _length(text: str, units: Mapping[str, str]) -> str:
    """Return feet and inches with the units of a language."""
    return " ".join(units.get(word, word) for word in text.split())


def _without_article(noun: str) -> str:
    return noun.partition(" ")[2] or noun
