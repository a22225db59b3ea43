"""Within what a number lies, whatever it is: the rows of ``physical_ranges.yaml``."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

import yaml

from permitgen.values.units import UNITS, printed_unit

_TAG = "{tag}"


@dataclass(frozen=True, slots=True)
class PhysicalRange:
    """The numbers from ``lowest`` to ``highest`` in ``unit``; ``asked`` is the question, ``at`` the paths of the fact."""

    asked: str
    at: tuple[str, ...]
    unit: str
    lowest: float
    highest: float
    because: str

    @property
    def text(self) -> str:
        """Both ends with their unit."""
        return f"{self.lowest:,.10g} to {self.highest:,.10g} {printed_unit(self.unit)}".rstrip()

    def points(self, shares: tuple[float, ...]) -> tuple[float, ...]:
        """Return the numbers at ``shares`` of the way from the lowest to the highest, each once; counts are whole."""
        numbers = (self.lowest + share * (self.highest - self.lowest) for share in shares)
        return tuple(dict.fromkeys(float(round(number)) if self.unit == "count" else number for number in numbers))


@cache
def physical_ranges() -> tuple[PhysicalRange, ...]:
    """Return every row of the file."""
    rows = yaml.safe_load(files("permitgen.evaluation").joinpath("physical_ranges.yaml").read_text("utf-8"))
    return tuple(_range(row) for row in rows)


def _range(row: dict[str, object]) -> PhysicalRange:
    lowest, _, unit = str(row["from"]).partition(" ")
    highest, _, same = str(row["to"]).partition(" ")
    if unit != same:
        raise ValueError(f"physical_ranges.yaml: {row['asked']}: from {row['from']} to {row['to']}")
    paths = tuple(str(row["at"]).split(" or "))
    return PhysicalRange(str(row["asked"]), paths, _suffix(unit), float(lowest), float(highest), str(row["because"]))


def _suffix(printed: str) -> str:
    """Return the unit that is printed so; a number without one is a count."""
    return next(suffix for suffix in UNITS if UNITS[suffix][0] == printed) if printed else "count"


@cache
def _patterns() -> tuple[tuple[re.Pattern[str], PhysicalRange], ...]:
    return tuple((re.compile(re.escape(each.asked).replace(re.escape(_TAG), r"(?P<tag>\S+)")), each) for each in physical_ranges())


@cache
def range_of(question: str) -> tuple[PhysicalRange, tuple[str, ...]] | None:
    """Return the range of the number that ``question`` asks for, with the paths at which it may stand; None where none is declared."""
    for pattern, found in _patterns():
        if match := pattern.fullmatch(question):
            tag = match.groupdict().get("tag", "")
            return found, tuple(path.replace(_TAG, tag) for path in found.at)
    return None
