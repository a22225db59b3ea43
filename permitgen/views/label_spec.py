"""A label specification as data: what triggers a label, what it is repeated for, what it says in each edition."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from permitgen.code.edition import UNREAD_COLUMNS, Edition

EDITIONS = ("2017", "2020", "2023", "2026")
FIRE_CODES = ("IFC-2012", "IFC-2018", "IFC-2021", "IFC-2024", "IRC-2021", "IRC-2024", "NFPA-1", "NFPA-855")
BASES = ("mandated", "or_equivalent", "content", "listing", "practice", "exempt")
ROLES = ("signal", "title", "message", "added")
NOT = "not "
DIAGRAMS = ("house", "roof_plan")
REFLECTIVE = ("required", "recommended", "no")
SIGNAL_COLORS = {
    "DANGER": ("safety_white", "safety_red"),
    "WARNING": ("safety_black", "safety_orange"),
    "CAUTION": ("safety_black", "safety_yellow"),
    "NOTICE": ("safety_white", "safety_blue"),
    "SAFETY INSTRUCTIONS": ("safety_white", "safety_green"),
}
"""Text and background of each signal word's panel, ANSI Z535.4 (from memory)."""


@dataclass(frozen=True, slots=True)
class Section:
    """A section number of one edition. ``confirmed`` is False where the number was not seen in the book."""

    number: str
    confirmed: bool


@dataclass(frozen=True, slots=True)
class LineSpec:
    """One sentence with the lines it is best broken into and the phrases that stay together."""

    text: str
    breaks: tuple[str, ...]
    phrases: tuple[str, ...]
    own_height_in: float
    binding_height_in: float | None
    least_height_mm: float


@dataclass(frozen=True, slots=True)
class PanelSpec:
    """A field of one color with its sentences."""

    role: Literal["signal", "title", "message", "added"]
    lines: tuple[LineSpec, ...]
    background: str
    text_color: str


@dataclass(frozen=True, slots=True)
class Wording:
    """What the label says in some editions. ``when`` is the condition that picks it among several variants."""

    editions: tuple[str, ...]
    variant: str
    when: str
    panels: tuple[PanelSpec, ...]
    colors_fixed: bool
    unseen: tuple[str, ...]
    doubt: str

    @property
    def mandated_text(self) -> str:
        """The words of the signal, title and message panels, in order, without our added facts."""
        return " ".join(line.text for panel in self.panels if panel.role != "added" for line in panel.lines)


@dataclass(frozen=True, slots=True)
class Variable:
    """A value that the program prints into the label. A line whose ``optional`` value is absent is left out."""

    means: str
    optional: bool


@dataclass(frozen=True, slots=True)
class LabelSpec:
    """One label as its file describes it. ``trigger`` and ``remove_when`` are conditions: a fact, or ``not`` and a fact.

    ``denied_by`` names rules, each with words of the lines that are false where the rule is violated.
    """

    id: str
    name: str
    basis: str
    trigger: str
    one_per: Mapping[str, str]
    sections: Mapping[str, Section | None]
    wordings: tuple[Wording, ...]
    variables: Mapping[str, Variable]
    reflective: Mapping[str, str]
    material: str
    location: str
    spacing: str
    handwriting: tuple[str, ...]
    note: str
    exempt: str
    remove_when: str
    remove_because: str
    diagram: str
    border: bool
    file: str
    denied_by: Mapping[str, str] = field(default_factory=dict)

    def section(self, edition: str) -> Section | None:
        """Return the section in an edition, or None when the edition has no such requirement."""
        return self.sections.get(edition)

    def printed_section(self, edition: str) -> str:
        """Return the section as it is printed: of an edition that was not read, a reported number, or that of the edition before.

        A number of the edition before never stands as if it were one of the next; what is reported is another number than before.
        """
        section = self.section(edition)
        if section is None or section.confirmed or edition not in UNREAD_COLUMNS:
            return section.number if section is not None else ""
        last_read = Edition(edition).last_read
        before = self.section(last_read.value)
        book, old = Edition(edition).book, before.number if before is not None else ""
        if section.number and not old.startswith(section.number):
            return f"{section.number} (reported)"
        return f"{last_read.book} {old}; {book} not read" if old else f"{book} not read"

    def object_kind(self, edition: str) -> str:
        """Return what the label is repeated for in an edition."""
        return self.one_per.get(edition, self.one_per.get("all", ""))

    def reflective_in(self, edition: str) -> str:
        """Return whether an edition asks for reflective material: required, recommended or no."""
        return self.reflective.get(edition, self.reflective.get("all", "no"))

    @property
    def facts(self) -> tuple[str, ...]:
        """The names of all facts the label asks for."""
        conditions = (self.trigger, *(wording.when for wording in self.wordings), self.remove_when)
        return tuple(dict.fromkeys(condition.removeprefix(NOT) for condition in conditions if condition))
