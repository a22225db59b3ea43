"""Editions of the electrical code, and of the fire codes that a jurisdiction puts beside it.

The only place of the program that orders editions; everywhere else an edition is a column of the data.
"""

from __future__ import annotations

from enum import StrEnum

from permitgen.code.errors import UnknownEditionError
from permitgen.reading.nearest import did_you_mean


class Edition(StrEnum):
    """An edition of NFPA 70, the National Electrical Code."""

    NEC_2017 = "2017"
    NEC_2020 = "2020"
    NEC_2023 = "2023"
    NEC_2026 = "2026"

    @property
    def book(self) -> str:
        """The name that citations print."""
        return f"NEC {self.value}"

    @property
    def last_read(self) -> Edition:
        """The edition itself, or the one before it where its text was not read for this program."""
        return Edition.NEC_2023 if self is Edition.NEC_2026 else self

    @classmethod
    def of(cls, edition: Edition | str | int) -> Edition:
        """Return the edition called ``edition``: ``2020``, ``"2020"`` or ``"NEC 2020"``.

        Raises:
            UnknownEditionError: the program holds no such edition.

        """
        name = str(edition).removeprefix("NEC").strip()
        if name not in [member.value for member in cls]:
            known = ", ".join(member.value for member in cls)
            raise UnknownEditionError(f'"{edition}" is not an edition of the NEC in this program; known: {known}')
        return cls(name)


UNREAD_COLUMNS = frozenset(edition.value for edition in Edition if edition.last_read is not edition)


class FireCode(StrEnum):
    """The book that a jurisdiction applies to the place of storage and to the access to roofs."""

    IRC_2018 = "IRC 2018"
    IRC_2021 = "IRC 2021"
    IRC_2024 = "IRC 2024"
    IFC_2021 = "IFC 2021"
    NFPA_855_2020 = "NFPA 855 2020"
    NFPA_855_2023 = "NFPA 855 2023"

    @property
    def book(self) -> str:
        """The name that citations print."""
        return self.value

    @classmethod
    def of(cls, name: FireCode | str) -> FireCode:
        """Return the book called ``name``.

        Raises:
            UnknownEditionError: the program holds no such book.

        """
        known = [member.value for member in cls]
        if str(name) not in known:
            raise UnknownEditionError(
                f'"{name}" is not a fire code in this program{did_you_mean(str(name), known)} (known: {", ".join(known)})'
            )
        return cls(str(name))


FIRE_CODE_WHERE_NOT_STATED = FireCode.IRC_2021
