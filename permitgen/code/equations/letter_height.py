"""Letter height of labels by viewing distance."""

from __future__ import annotations

from permitgen.values.equation import equation, larger_of


@equation("H", "letter height of the message", distance_ft="D", distance_factor="k")
def message_letter_height_in(distance_ft: float, distance_factor: float) -> float:
    """Return 12 × D ÷ 300, in (ANSI Z535.4, annex on letter height)."""
    return 12 * distance_ft / distance_factor


@equation("H_S", "letter height of the signal word", message_height_in="H", message_factor="k_1", distance_ft="D", distance_factor="k_2")
def signal_word_height_in(message_height_in: float, message_factor: float, distance_ft: float, distance_factor: float) -> float:
    """Return the larger of 1.5 × the message capitals and 12 × D ÷ 150, in: it satisfies both statements (ANSI Z535.4)."""
    height: float = larger_of(message_factor * message_height_in, 12 * distance_ft / distance_factor)
    return height
