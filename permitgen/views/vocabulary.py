"""The words of things, one for each reader, from ``vocabulary.yaml``: the only place that names a thing, a verdict or a state."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

import yaml


@dataclass(frozen=True, slots=True)
class Thing:
    """One thing: the trade's word, the homeowner's in English and Spanish, and the synonyms that are not printed."""

    key: str
    paper: str
    home: str
    spanish: str
    refused: tuple[str, ...]

    def at_home(self, language: str) -> str:
        """Return the homeowner's word in a language: ``en`` or ``es``."""
        return self.spanish if language == "es" else self.home


@cache
def _read() -> dict[str, Any]:
    loaded: dict[str, Any] = yaml.safe_load(files("permitgen.views").joinpath("vocabulary.yaml").read_text("utf-8"))
    return loaded


@cache
def things() -> dict[str, Thing]:
    """Return every thing by its key."""
    return {
        key: Thing(key, words["paper"], words["home"], words["es"], tuple(words.get("refused", ())))
        for key, words in _read()["things"].items()
    }


def paper_word(key: str) -> str:
    """Return the trade's word for a thing.

    Raises:
        KeyError: the vocabulary has no such thing.

    """
    return things()[key].paper


def refused_words() -> tuple[str, ...]:
    """Return every word that is not printed, in any document."""
    return (*dict.fromkeys(word for thing in things().values() for word in thing.refused), *_read()["refused"])


def verdict_words() -> dict[str, str]:
    """Return what each verdict is called on paper; also what a field result is called."""
    return dict(_read()["verdicts"])


def verdict_word(verdict: str) -> str:
    """Return what a verdict is called on paper; a word that is no verdict stays as it is."""
    return verdict_words().get(verdict, verdict)


def state_word(state: str) -> str:
    """Return what the drawings are made from: permit drawings, or the house as built."""
    return str(_read()["states"].get(state, state))


def option_words(name: str, choice: str) -> str:
    """Return a local interpretation in words; one without words of its own is spelled out as it is written."""
    words: str = _read()["options"].get(name, {}).get(choice, f"{name.replace('_', ' ')}: {choice}")
    return words
