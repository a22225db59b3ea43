"""A provision: one requirement of the code under our own id, with its section and its numbers in one edition."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from types import MappingProxyType

from permitgen.code.errors import ProvisionNotInForceError, UnknownFieldError
from permitgen.code.grade import Grade
from permitgen.reading.nearest import did_you_mean
from permitgen.values.origin import ProvisionField
from permitgen.values.units import unit_of_name
from permitgen.values.value import Value

IN_FORCE = "in force"
ABSENT = "absent"
UNCONFIRMED = "unconfirmed"
REPORTED = "reported"

FieldValue = float | str | bool | tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Provision:
    """One requirement in one edition.

    ``status`` is ``in force``, ``absent`` (the edition has no such requirement), ``unconfirmed`` (its text was not read for this
    program) or ``reported`` (not read either, but public sources say that it is as before, or what of it is another: ``fields``
    then hold only the reported values, and ``relaxes`` says in words what is reported to be permitted). ``reports`` is what else
    is said of a text that was not read. ``open_shuts`` are the gates (``permit``, ``hang``) that a point of it which is not judged
    shuts. ``grade`` and ``source`` say how the text is known. ``section`` names the amending
    ordinance where a local amendment changed it. ``book`` is empty for product standards and trade practice. ``term`` is the
    word the edition uses where editions differ. ``doubt`` says what about the section or its numbers is not certain; empty
    where nothing is.
    """

    id: str
    book: str
    status: str
    says: str
    section: str = ""
    term: str = ""
    confidence: str = "high"
    doubt: str = ""
    amended_by: str = ""
    grade: Grade = Grade.NOT_RECORDED
    source: str = ""
    relaxes: str = ""
    reports: str = ""
    open_shuts: tuple[str, ...] = ()
    fields: Mapping[str, FieldValue] = field(default_factory=lambda: MappingProxyType({}))

    @property
    def citation(self) -> str:
        """The section with its book, for example ``NEC 2020 240.4(B)``; without a section, the book and the status."""
        if self.status == ABSENT:
            return f"{self.book}: struck by {self.amended_by}" if self.amended_by else f"{self.book}: no such requirement"
        if self.status == UNCONFIRMED:
            return f"{' '.join((self.book, self.section)).strip()}: text not confirmed in this program"
        if self.status == REPORTED:
            return f"{self.book} {self.section} ({self.grade}, text not confirmed)"
        return self.section if self.section.startswith(self.book) else f"{self.book} {self.section}"

    @property
    def is_reported(self) -> bool:
        """Whether the edition is not read here, but public sources say how this requirement stands in it."""
        return self.status == REPORTED

    @property
    def is_in_force(self) -> bool:
        """Whether the edition has the requirement and its text is known here."""
        return self.status == IN_FORCE

    def value(self, name: str) -> Value:
        """Return the number ``name`` of the provision; the suffix of the name is its unit.

        Raises:
            ProvisionNotInForceError: absent or unconfirmed in this edition.
            UnknownFieldError: no such field, or it is not a number.

        """
        number = self._field(name)
        if isinstance(number, bool) or not isinstance(number, int | float):
            raise UnknownFieldError(f"{self.id}: the field {name!r} is not a number")
        origin = ProvisionField(self.id, self.section, name)
        return Value(float(number), unit_of_name(name), origin, title=_words_of(name))

    def text(self, name: str) -> str:
        """Return the text ``name`` of the provision, for example a conductor size.

        Raises:
            ProvisionNotInForceError: absent or unconfirmed in this edition.
            UnknownFieldError: no such field, or it is not text.

        """
        text = self._field(name)
        if not isinstance(text, str):
            raise UnknownFieldError(f"{self.id}: the field {name!r} is not text")
        return text

    def words(self, name: str) -> tuple[str, ...]:
        """Return the list of words ``name`` of the provision, for example the exempt insulation types.

        Raises:
            ProvisionNotInForceError: absent or unconfirmed in this edition.
            UnknownFieldError: no such field, or it is not a list.

        """
        words = self._field(name)
        if not isinstance(words, tuple):
            raise UnknownFieldError(f"{self.id}: the field {name!r} is not a list of words")
        return words

    def flag(self, name: str) -> bool:
        """Return the yes or no ``name`` of the provision.

        Raises:
            ProvisionNotInForceError: absent or unconfirmed in this edition.
            UnknownFieldError: no such field, or it is not yes or no.

        """
        flag = self._field(name)
        if not isinstance(flag, bool):
            raise UnknownFieldError(f"{self.id}: the field {name!r} is not yes or no")
        return flag

    def has(self, name: str) -> bool:
        """Whether the edition gives the field ``name``."""
        return name in self.fields

    def amended(self, ordinance: str, changes: Mapping[str, FieldValue], *, section: str = "") -> Provision:
        """Return the provision with ``changes`` in its fields; its section names ``ordinance``."""
        changed = MappingProxyType({**self.fields, **changes})
        return replace(self, section=f"{section or self.section} as amended by {ordinance}", amended_by=ordinance, fields=changed)

    def as_reported(self, report: Provision) -> Provision:
        """Return the provision as ``report``, of an edition that was not read, says that it stands there."""
        fields = MappingProxyType({**self.fields, **report.fields})
        return replace(self, book=report.book, section=report.section, grade=report.grade, source=report.source, fields=fields)

    def _field(self, name: str) -> FieldValue:
        if self.status != IN_FORCE:
            raise ProvisionNotInForceError(f"{self.id}: {self.citation}")
        if name not in self.fields:
            raise UnknownFieldError(f"{self.id}, {self.book}: no field {name!r}{did_you_mean(name, self.fields)}")
        return self.fields[name]


@cache
def _words_of(name: str) -> str:
    unit = unit_of_name(name)
    return (name if unit in {"factor", "count"} else name.removesuffix(f"_{unit}")).replace("_", " ")
