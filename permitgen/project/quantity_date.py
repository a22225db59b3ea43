"""Days written year-month-day. Every other form is refused with the day, or both days, it may mean."""

from __future__ import annotations

import re
from datetime import date, timedelta

from permitgen.project.quantity_error import QuantityError
from permitgen.project.quantity_numbers import plain_text
from permitgen.reading.problems import quoted

_ISO = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})")
_YEAR_FIRST = re.compile(r"([0-9]{4})[-/. ]([0-9]{1,2})[-/. ]([0-9]{1,2})")
_YEAR_LAST = re.compile(r"([0-9]{1,2})[-/. ]([0-9]{1,2})[-/. ]([0-9]{4}|[0-9]{2})")
_MONTH_WORD = re.compile(r"([A-Za-z]{3,9})\.? ([0-9]{1,2})(?:st|nd|rd|th)?,? ([0-9]{4})|([0-9]{1,2})[ -]([A-Za-z]{3,9})\.?[ -]([0-9]{4})")
_WITHIN_WORDS = re.compile(
    r"(?<![\w/.-])(?:[0-9]{4}-[0-9]{1,2}-[0-9]{1,2}|[0-9]{1,2}([-/])[0-9]{1,2}\1(?:[0-9]{4}|[0-9]{2})|[0-9]{1,2}\.[0-9]{1,2}\.[0-9]{4})(?![\w/-])"
)
_SERIAL = re.compile(r"[34567][0-9]{4}")
_SERIAL_START = date(1899, 12, 30)  # day 0 of the common spreadsheets, counted so that serials after 1900-02-28 are right
# Not from the standard library's calendar: its names follow the language of the machine.
_MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December")
_FIRST_YEAR, _LAST_YEAR = 1900, 2199


def parse_date(text: str) -> date:
    """Return the day ``text`` names, ``2025-03-04``.

    Raises:
        QuantityError: another form (the message gives the day it may mean, or both), or no such day.
    """
    plain = plain_text(text)
    found = _ISO.fullmatch(plain)
    if found is None:
        raise QuantityError(_other_form(plain))
    year, month, day = (int(part) for part in found.groups())
    if not _FIRST_YEAR <= year <= _LAST_YEAR:
        raise QuantityError(f"{quoted(plain)}: years {_FIRST_YEAR} to {_LAST_YEAR} are read")
    if not 1 <= month <= 12:
        raise QuantityError(f'{quoted(plain)}: there is no month {month}; write year-month-day, for example "2025-03-04"')
    days = _days_of_month(year, month)
    if not 1 <= day <= days:
        raise QuantityError(f"{quoted(plain)}: {_MONTHS[month - 1]} {year} has {days} days")
    return date(year, month, day)


def require_days(text: str) -> str:
    """Return a text in which each day in figures stands year-month-day, as ``letter of 2026-02-03``; days in words stay as they are.

    Raises:
        QuantityError: a day in another form, as ``letter of 3/2/26``, or one that there is not.
    """
    for found in _WITHIN_WORDS.finditer(text):
        if _ISO.fullmatch(found[0]) is not None or _meanings(found[0]):
            parse_date(found[0])
    return text


def _other_form(plain: str) -> str:
    meanings = sorted(_meanings(plain))
    if not meanings:
        return f'{quoted(plain)} is not a date; write year-month-day, for example "2025-03-04"'
    listed = " or ".join(f'"{meaning.isoformat()}"' for meaning in meanings)
    problem = "ambiguous date" if len(meanings) > 1 else "a date in another form"
    if _SERIAL.fullmatch(plain):
        problem = "this looks like the day number of a spreadsheet"
    return f"{quoted(plain)}: {problem}; write year-month-day, {listed}"


def _meanings(plain: str) -> set[date]:
    if _SERIAL.fullmatch(plain):
        return {_SERIAL_START + timedelta(days=int(plain))}
    first = _YEAR_FIRST.fullmatch(plain)
    if first is not None:
        return _days((first[1], first[2], first[3]))
    last = _YEAR_LAST.fullmatch(plain)
    if last is not None:
        year = last[3] if len(last[3]) == 4 else "20" + last[3]
        return _days((year, last[1], last[2]), (year, last[2], last[1]))
    word = _MONTH_WORD.fullmatch(plain)
    if word is not None:
        name, day, year = (word[1], word[2], word[3]) if word[1] else (word[5], word[4], word[6])
        return {found for found in _days(*((year, str(month), day) for month in range(1, 13))) if _is_named(found.month, name)}
    return set()


def _days(*readings: tuple[str, str, str]) -> set[date]:
    """Return the days among the readings (year, month, day) that exist."""
    days = set()
    for year, month, day in readings:
        y, m, d = int(year), int(month), int(day)
        if _FIRST_YEAR <= y <= _LAST_YEAR and 1 <= m <= 12 and 1 <= d <= _days_of_month(y, m):
            days.add(date(y, m, d))
    return days


def _days_of_month(year: int, month: int) -> int:
    return (date(year + month // 12, month % 12 + 1, 1) - date(year, month, 1)).days


def _is_named(month: int, name: str) -> bool:
    return _MONTHS[month - 1].lower().startswith(name.lower())
