"""The only place where numbers become text: display rounding, units, plurals, dates."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from permitgen.values.origin import Assumed, FromSystem, ProjectLine, ProvisionField, TableCell, Tried
from permitgen.values.units import printed_unit

if TYPE_CHECKING:
    from permitgen.values.value import Value

# Decimals shown at most, by unit; trailing zeros are dropped. Storage is never rounded.
_DECIMALS = {
    "a": 2,
    "ka": 2,
    "v": 2,
    "va": 0,
    "kva": 2,
    "w": 1,
    "kw": 2,
    "kwh": 2,
    "ohm": 4,
    "ohm_per_kft": 4,
    "ft": 2,
    "ft2": 1,
    "in": 3,
    "in2": 4,
    "in3": 2,
    "kcmil": 2,
    "cmil": 0,
    "c": 1,
    "f": 1,
    "rise_c": 1,
    "percent_per_c": 3,
    "lbf_in": 1,
    "lb": 1,
    "lb_per_ft2": 2,
    "factor": 4,
    "percent": 2,
    "count": 2,
}
_MINUS = "−"
_NO_BREAK = "\u00a0"

DEFERENCE = (
    "This document assists permit and field work. It does not replace the adopted code, the authority having jurisdiction, "
    "the instructions that come with listed equipment, or the judgment of a licensed person."
)


GOOD_PRACTICE = "good practice"
"""What stands in place of a section where no book asks for it."""


_NUMBERED = re.compile(r"\b(Table|Note|Part|Chapter) (?=\w)")


def without_book(section: str, book: str) -> str:
    """Return a section without the name of the edition, for a place that names it already."""
    return section.removeprefix(book).lstrip(": ").strip()


def with_numbers_held(section: str) -> str:
    """Return a section whose numbers of tables, notes and parts stay on one line with what they number."""
    return _NUMBERED.sub("\\1\u00a0", section)


# From so many spaces on, a run of them is named by its ends.
_LEAST_RUN = 3


def number_text(number: float, unit: str, *, decimals: int | None = None) -> str:
    """Return a number as printed, without its unit."""
    places = _DECIMALS.get(unit, 2) if decimals is None else decimals
    text = f"{number:.{places}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    if text in ("0", "-0") and number != 0:
        text = f"{number:.3g}"
    return text.replace("-", _MINUS)


def value_text(value: Value, *, decimals: int | None = None) -> str:
    """Return a value with its unit, for example ``43.5 A``; temperatures and percentages too."""
    return with_unit(number_text(value.number, value.unit, decimals=decimals), value.unit)


def with_unit(text: str, unit: str) -> str:
    """Join a printed number and a unit by a space that does not break."""
    shown = printed_unit(unit)
    if not shown:
        return text
    return f"{text}{shown}" if shown in ("°",) else f"{text}{_NO_BREAK}{shown}"


def pair_text(computed: Value, limit: Value) -> tuple[str, str]:
    """Return both numbers of a comparison; digits are added until two different numbers also print differently."""
    for decimals in (None, 3, 4, 5, 6, 8):
        texts = (value_text(computed, decimals=decimals), value_text(limit, decimals=decimals))
        if texts[0] != texts[1] or computed.number == limit.number:
            return texts
    return texts


def spelled_text(value: Value) -> str:
    """Return a value and, where the user wrote another unit, his own spelling: ``35.1 ft (10.7 m)``."""
    own = value.origin.spelled if isinstance(value.origin, ProjectLine) else ""
    text = value_text(value)
    plain = text.replace(_NO_BREAK, " ").replace(_MINUS, "-")
    return text if not own or own.replace("\u2212", "-") == plain or _same_unit(own, value) else f"{text} ({own})"


def _same_unit(own: str, value: Value) -> bool:
    shown = printed_unit(value.unit)
    return not shown or own.rstrip().endswith(shown) or own.strip().lstrip("-").replace(".", "").isdigit()


def origin_text(value: Value) -> str:
    """Return where a leaf value comes from, in words a reviewer can follow: a number of the project file by its key."""
    origin = value.origin
    if isinstance(origin, ProjectLine):
        return f"{origin.path} ({origin.source})" if origin.source else origin.path
    if isinstance(origin, TableCell | ProvisionField | Assumed | FromSystem | Tried):
        return str(origin)
    return "computed"


def line_text(value: Value) -> str:
    """Return file, line and column of a value of the project file, for a screen: paper names the key, which no comment moves."""
    origin = value.origin
    return f"{origin.file.rpartition('/')[2]}:{origin.line}:{origin.column}" if isinstance(origin, ProjectLine) else ""


def plural(count: int, one: str, many: str = "") -> str:
    """Return ``1 finding`` or ``3 findings``."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def feet_and_inches(feet: float) -> str:
    """Return a length as drawings print it, to the half inch: ``110'-0"``, ``12'-5 1/2"``."""
    halves = round(feet * 24)
    whole, rest = divmod(halves, 24)
    inches, half = divmod(rest, 2)
    return f"{whole}'-{inches}{' 1/2' if half else ''}\""


def spaces_text(spaces: Iterable[int]) -> str:
    """Return breaker spaces as a door names them: ``3, 5, 8–12``, and of one column ``14–40 even``."""
    left = sorted(set(spaces))
    parts = []
    while left:
        run = max((_run(left, step) for step in (1, 2)), key=len)
        if len(run) < _LEAST_RUN:
            run = left[:1]
        column = ("" if run[-1] - run[0] == len(run) - 1 else " even" if run[0] % 2 == 0 else " odd") if len(run) > 1 else ""
        parts.append(f"{run[0]}–{run[-1]}{column}" if len(run) > 1 else str(run[0]))
        left = [space for space in left if space not in run]
    return ", ".join(parts)


def _run(spaces: Sequence[int], step: int) -> list[int]:
    """Return the longest run of spaces from the first in steps of ``step``."""
    return [space for space in range(spaces[0], spaces[-1] + 1, step) if set(range(spaces[0], space + 1, step)) <= set(spaces)]


_LISTED = re.compile(r"\b([A-Z]+)(\d+)((?:, \1\d+)+)\b")


def with_runs_of_tags(text: str) -> str:
    """Return a text in which three or more tags in a row are told by their ends: ``C1, C2, C3, C7`` as ``C1 to C3, C7``."""
    return _LISTED.sub(_listed, text)


def _listed(found: re.Match[str]) -> str:
    letters = found[1]
    numbers = [int(tag.removeprefix(letters)) for tag in found[0].split(", ")]
    parts: list[str] = []
    while numbers:
        run = next(size for size in range(len(numbers), 0, -1) if numbers[:size] == list(range(numbers[0], numbers[0] + size)))
        size = run if run >= _LEAST_RUN else 1
        parts.append(f"{letters}{numbers[0]} to {letters}{numbers[size - 1]}" if size > 1 else f"{letters}{numbers[0]}")
        numbers = numbers[size:]
    return ", ".join(parts)


def joined_tags(tags: Iterable[str]) -> str:
    """Return tags in one list, what several begin with said once: ``HP.1, 2, 5; GEN.breaker``."""
    groups: dict[tuple[str, str], list[str]] = {}
    for tag in dict.fromkeys(tags):
        separator = next((each for each in (", ", ".") if each in tag), "")
        head, _, rest = tag.partition(separator) if separator else (tag, "", "")
        groups.setdefault((head, separator), []).append(rest)
    return "; ".join(_joined(head, separator, rests) for (head, separator), rests in groups.items())


def _joined(head: str, separator: str, rests: Sequence[str]) -> str:
    named = [rest for rest in rests if rest]
    if all(rest.isdigit() for rest in named):
        named.sort(key=int)
    return f"{head}{separator}{', '.join(named)}"
