"""What a form is, whatever file it comes as: fields with names, and places on pages."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import quoted

FieldKind = Literal["text", "check box", "radio buttons", "choice", "button", "signature"]
Said = str | bool
"""What is written into a field or a place: a text, or whether a box is ticked."""


class FormRefusedError(ValueError):
    """A file that is not filled; the message says why, worded to follow its name."""


@dataclass(frozen=True, slots=True)
class FormFault:
    """Why something cannot be written; ``key`` is the name of the field, or the number of the place from 0."""

    key: str | int
    message: str


class FormFaultsError(ValueError):
    """Some fields or places cannot be written as the mapping says; ``faults`` holds each."""

    def __init__(self, faults: Sequence[FormFault]) -> None:
        super().__init__("; ".join(fault.message for fault in faults))
        self.faults = tuple(faults)


@dataclass(frozen=True, slots=True)
class FormField:
    """A field as a person meets it. ``most`` is the greatest number of characters, None without limit; ``options`` are its choices.

    ``page`` counts from 1, 0 where the file has no pages of its own (a text document). ``about`` is what the form says of it.
    """

    name: str
    kind: FieldKind
    page: int = 0
    most: int | None = None
    is_comb: bool = False
    is_multiline: bool = False
    is_read_only: bool = False
    takes_other: bool = False
    options: tuple[str, ...] = ()
    about: str = ""


@dataclass(frozen=True, slots=True)
class Form:
    """A form with its fields; ``pages_in`` are width and height of each page in inches, none for a text document."""

    kind: Literal["PDF", "Word"]
    fields: tuple[FormField, ...]
    pages_in: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Placed:
    """What is written on a page: its left end and its baseline in inches from the left and the top edge of the page as it is seen.

    ``width_in`` is the room it has, None up to the right edge of the page; ``size_pt`` the size of its letters.
    """

    page: int
    left_in: float
    top_in: float
    said: Said
    width_in: float | None = None
    size_pt: float = 10.0


def refusal(said: Said, kind: FieldKind, most: int | None, *, is_read_only: bool) -> str:
    """Return why a field does not take what is written into it, worded to follow its name; empty where it does."""
    if is_read_only:
        return "is not to be filled: its maker keeps it as it is"
    if isinstance(said, bool) != (kind == "check box"):
        return f"is of the kind {kind}, which takes {'a tick' if kind == 'check box' else 'a text'}"
    if most is not None and isinstance(said, str) and len(said) > most:
        return f"{quoted(said)} has {len(said)} characters; the field takes {most}"
    return ""


def no_such_choice(said: str, options: Sequence[str]) -> str:
    """Say that a field has no such choice, and which it has."""
    return f"{quoted(said)} is none of its choices: {', '.join(options)}{did_you_mean(said, options)}"


def no_such_field(name: str, known: Iterable[str]) -> FormFault:
    """Say that a form has no field of a name."""
    return FormFault(name, f"the form has no field {quoted(name)}{did_you_mean(name, known)}")


@dataclass(frozen=True, slots=True)
class Answers:
    """What goes into a form: by field, and on its pages; ``band`` is a warning at the head of each page, empty for none."""

    fields: Mapping[str, Said] = field(default_factory=dict)
    places: tuple[Placed, ...] = ()
    band: str = ""
