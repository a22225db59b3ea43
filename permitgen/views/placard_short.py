"""What a placard leaves unsaid where its plate has no room for all, in the order in which it is left out.

Never left out: what stays live, a wait, what is not enough, and what a hand takes hold of.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.views.placard import Placard


def as_it_is(placard: Placard) -> Placard:
    """Return the placard unchanged."""
    return placard


def with_a_smaller_symbol(placard: Placard) -> Placard:
    """Return the placard with what its second symbol holds in fewer words, in a smaller symbol."""
    shorter = (text for text in placard.offline_shorter if len(text) < len(placard.offline))
    return replace(placard, offline=next(shorter, placard.offline))


def with_places_once(placard: Placard) -> Placard:
    """Return the placard with the place of a step told once where the step before it is done at the same place."""
    same = placard.text.phrases.say("same_place")
    places = [step.place for step in placard.text.steps]
    steps = tuple(
        replace(step, place=same if index and places[index - 1] == step.place else step.place)
        for index, step in enumerate(placard.text.steps)
    )
    return replace(placard, text=replace(placard.text, steps=steps))


def with_steps_in_the_directory(placard: Placard) -> Placard:
    """Return the placard with a source that a step disconnects listed by the number of that step alone."""
    return replace(placard, directory=tuple(replace(entry, disconnects=entry.short or entry.disconnects) for entry in placard.directory))


def without_what_stops(placard: Placard) -> Placard:
    """Return the placard with its steps not saying what each stops: the directory does."""
    return replace(placard, text=replace(placard.text, steps=tuple(replace(step, stops="") for step in placard.text.steps)))


SHORTER: tuple[Callable[[Placard], Placard], ...] = (
    as_it_is,
    with_a_smaller_symbol,
    with_places_once,
    with_steps_in_the_directory,
    with_a_smaller_symbol,
    without_what_stops,
)
"""Each is done to what the one before it left."""


def on_two_plates(placard: Placard, *, map_with_steps: bool) -> tuple[Placard, Placard]:
    """Return the placard on two plates: the steps with all that is needed to do them, and the directory with the way to the record."""
    empty = replace(placard.map, site=replace(placard.map.site, buildings=()))
    steps = replace(placard, part="steps", address="", map=placard.map if map_with_steps else empty)
    directory = replace(placard, part="directory", offline="", map=empty if map_with_steps else placard.map)
    return steps, directory
