"""Standard overcurrent ratings and conductor sizes: the next, the largest, the smallest of sufficient area."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from permitgen.code.errors import NotInTableError
from permitgen.code.rounding import TOLERANCE
from permitgen.values.conductor_size import ALL_SIZES, ConductorSize
from permitgen.values.equation import selected

if TYPE_CHECKING:
    from permitgen.code.codebook import CodeBook
    from permitgen.code.table import Table
    from permitgen.values.value import Value

SOLID, STRANDED = "solid", "stranded"
_BREAKERS_AND_FUSES = "breakers and fuses"


def standard_ratings_a(book: CodeBook) -> tuple[float, ...]:
    """Return the standard ratings common to breakers and fuses, in order, A (240.6(A)).

    Raises:
        TableNotInForceError: the edition's list is not confirmed.

    """
    return _ratings_in(book.table("standard_overcurrent_ratings"))


@lru_cache(maxsize=8)
def _ratings_in(table: Table) -> tuple[float, ...]:
    numbers = (table.number_at((_BREAKERS_AND_FUSES, row), "rating") for row in table.rows_of(_BREAKERS_AND_FUSES))
    return tuple(sorted(number for number in numbers if number is not None))


def next_standard_rating_a(book: CodeBook, at_least_a: float) -> float:
    """Return the smallest standard rating that is not below ``at_least_a``, A.

    Raises:
        NotInTableError: above the largest standard rating.

    """
    for rating in standard_ratings_a(book):
        if rating >= at_least_a * (1 - TOLERANCE):
            return rating
    raise NotInTableError(f"no standard rating is as large as {at_least_a:g} A")


def largest_standard_rating_a(book: CodeBook, at_most_a: float) -> float:
    """Return the largest standard rating that does not exceed ``at_most_a``, A.

    Raises:
        NotInTableError: below the smallest standard rating.

    """
    fitting = [rating for rating in standard_ratings_a(book) if rating <= at_most_a * (1 + TOLERANCE)]
    if not fitting:
        raise NotInTableError(f"no standard rating is as small as {at_most_a:g} A")
    return fitting[-1]


def largest_protecting_rating_a(book: CodeBook, ampacity_a: float) -> float:
    """Return the largest standard rating that protects ``ampacity_a``: the ampacity, or to 800 A the next size up (240.4(B), (C)).

    Raises:
        NotInTableError: beyond the standard ratings.
        ProvisionNotInForceError: the edition's text is not confirmed.

    """
    largest = book.provision("next_size_up").value("largest_rating_a").number
    above = next_standard_rating_a(book, ampacity_a)
    return above if above <= largest else largest_standard_rating_a(book, ampacity_a)


def select_next_rating(book: CodeBook, required: Value, *, symbol: str = "I_OCPD", title: str = "overcurrent device") -> Value:
    """Return the next standard rating for ``required`` as a step of its own.

    Raises:
        NotInTableError: above the largest standard rating.

    """
    number = next_standard_rating_a(book, required.number)
    provision = book.provision("standard_ratings")
    return selected(number, "a", by="next standard rating", inputs=(required,), symbol=symbol, title=title, provision=provision)


def select_protecting_rating(book: CodeBook, ampacity: Value, *, symbol: str = "I_max", title: str = "largest overcurrent device") -> Value:
    """Return the largest rating that protects ``ampacity`` as a step of its own.

    Raises:
        NotInTableError: beyond the standard ratings.

    """
    number = largest_protecting_rating_a(book, ampacity.number)
    provision = book.provision("next_size_up" if number > ampacity.number else "overcurrent_protection_of_conductors")
    return selected(number, "a", by="largest rating that protects", inputs=(ampacity,), symbol=symbol, title=title, provision=provision)


def conductor_area_cmil(book: CodeBook, size: ConductorSize) -> Value:
    """Return the area of a size, cmil (Chapter 9 Table 8; stranding does not change it).

    Raises:
        NotInTableError: the table has no such size.

    """
    return book.table("conductor_properties").at((STRANDED, size), "area")


def smallest_size_of_area(book: CodeBook, required_cmil: float) -> ConductorSize:
    """Return the smallest size whose area of Table 8 is at least ``required_cmil``.

    Compared with the printed areas as they stand, so 16 511.5 cmil needs 6 AWG although 8 AWG has 16 510.

    Raises:
        NotInTableError: larger than the table's last size.

    """
    table = book.table("conductor_properties")
    for size in ALL_SIZES:
        area = table.number_at((STRANDED, size), "area")
        if area is not None and area >= required_cmil * (1 - TOLERANCE):
            return size
    raise NotInTableError(f"{table.number} has no conductor of {required_cmil:g} cmil")


def smallest_size_of_ampacity(book: CodeBook, at_least_a: float, column: str, *, table: str = "conductor_ampacity") -> ConductorSize:
    """Return the smallest size whose ampacity in ``column`` of ``table`` is at least ``at_least_a``.

    Raises:
        NotInTableError: larger than the table's last ampacity, or no such column.

    """
    ampacities = book.table(table)
    for size in ALL_SIZES:
        ampacity = ampacities.number_at(size, column)
        if ampacity is not None and ampacity >= at_least_a * (1 - TOLERANCE):
            return size
    raise NotInTableError(f"{ampacities.number} has no ampacity of {at_least_a:g} A, {column.replace('_', ' ')}")
