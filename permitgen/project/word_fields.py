"""Fields of words that rules compare: letter case and hyphens count for nothing, a misspelled word is refused and not swallowed."""

from __future__ import annotations

from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import Annotated, Any

from pydantic import PlainValidator, WithJsonSchema

from permitgen.project.measured import text_of
from permitgen.project.value_schemas import SCALAR
from permitgen.reading.nearest import did_you_mean, nearest_name, plain_name
from permitgen.reading.problems import quoted
from permitgen.system import known_words
from permitgen.system.known_words import Vocabulary

# An open list refuses what differs from one of its words by a slip of the finger: a water meter is not a misspelled gas meter.
_A_SLIP = 0.84
_ANSWERS = frozenset({"yes", "no", "true", "false"})


def known_word(vocabulary: Vocabulary, text: str) -> str:
    """Return the name that a text spells; of a vocabulary that is not closed, a text that is near none of its names as it stands.

    Raises:
        ValueError: an answer where a name was asked, two names in one, a misspelled one, or none of a closed vocabulary.
    """
    spelled = {plain_name(name): name for name in vocabulary.names} | {plain_name(word): name for word, name in vocabulary.also.items()}
    if (plain := plain_name(text)) in spelled or not plain:
        return spelled.get(plain, text)
    if text.casefold() in _ANSWERS:
        raise ValueError(f"{quoted(text)} says whether, and not what; expected a {vocabulary.what}, for example {vocabulary.names[0]}")
    parts = [spelled.get(plain_name(part), "") for part in text.split("/")]
    if len(parts) > 1 and all(parts):
        raise ValueError(f"{quoted(text)} is more than one {vocabulary.what}; expected the one that is relied on: {' or '.join(parts)}")
    if vocabulary.within and any(word in text.casefold() for word in vocabulary.names):
        return text
    if vocabulary.is_closed or _is_a_slip(vocabulary, text):
        hint = did_you_mean(text, vocabulary.names) or f"; known: {', '.join(vocabulary.names)}"
        raise ValueError(f"{quoted(text)} is no {vocabulary.what}{hint}")
    return text


def _is_a_slip(vocabulary: Vocabulary, text: str) -> bool:
    for typed in text.split() if vocabulary.within else [text]:
        name = nearest_name(typed, vocabulary.names)
        if name is not None and SequenceMatcher(None, plain_name(name), plain_name(typed)).ratio() >= _A_SLIP:
            return True
    return False


@dataclass(frozen=True, slots=True)
class WordReader:
    """Reads one word of a vocabulary."""

    vocabulary: Vocabulary

    def __call__(self, value: Any) -> str:
        """Return the word; see ``known_word``."""
        return known_word(self.vocabulary, text_of(value))


@dataclass(frozen=True, slots=True)
class WordsReader:
    """Reads a list of words of a vocabulary, or words with commas between them."""

    vocabulary: Vocabulary

    def __call__(self, value: Any) -> tuple[str, ...]:
        """Return the words; see ``known_word``."""
        if isinstance(value, tuple):
            return value
        words = [text_of(item) for item in value] if isinstance(value, list) else text_of(value).split(",")
        return tuple(known_word(self.vocabulary, word.strip()) for word in words if word.strip())


_WORD = WithJsonSchema(SCALAR)
_WORDS = WithJsonSchema({"anyOf": [SCALAR, {"type": "array", "items": SCALAR}]})

Insulation = Annotated[str, PlainValidator(WordReader(known_words.INSULATION)), _WORD]
ControlInsulation = Annotated[str, PlainValidator(WordReader(known_words.CONTROL_INSULATION)), _WORD]
Category = Annotated[str, PlainValidator(WordReader(known_words.CATEGORY)), _WORD]
Space = Annotated[str, PlainValidator(WordReader(known_words.SPACE)), _WORD]
Chemistry = Annotated[str, PlainValidator(WordReader(known_words.CHEMISTRY)), _WORD]
Listings = Annotated[tuple[str, ...], PlainValidator(WordsReader(known_words.LISTED_AS)), _WORDS]
Electrodes = Annotated[tuple[str, ...], PlainValidator(WordsReader(known_words.ELECTRODES)), _WORDS]
Functions = Annotated[tuple[str, ...], PlainValidator(WordsReader(known_words.FUNCTIONS)), _WORDS]
Metals = Annotated[tuple[str, ...], PlainValidator(WordsReader(known_words.MATERIALS)), _WORDS]
Modes = Annotated[tuple[str, ...], PlainValidator(WordsReader(known_words.MODES)), _WORDS]
