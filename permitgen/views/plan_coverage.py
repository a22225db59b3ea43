"""Where each item that building departments ask for is found: worked out from the sheets that were drawn, never by hand."""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.views.presence import Thing

_OUTSIDE = "by the applicant, separately"
VICINITY = "Vicinity: streets, nearest cross street, north"
ATTACHED: Mapping[str, str] = MappingProxyType(
    {
        "structural letter": "Structural letter or seal",
        "specification sheet": "Specification sheets",
        "evidence of listing": "Evidence of listing",
        "installation instructions": "Installation instructions",
        "utility letter": "Utility letter",
    }
)
"""Items that no sheet answers but an attached document, by the kind of the document."""


@dataclass(frozen=True, slots=True)
class CoverageRow:
    """An item and where it is found; ``is_given`` False where no sheet of this set holds it."""

    item: str
    where: str
    is_given: bool


# Items of published plan-check lists of building departments, and the sheets that can hold them, the best first.
# An empty tuple: no drawing can hold it; the applicant hands it in. Last, where an item is asked of some installations only: of which.
ITEMS: tuple[tuple[str, tuple[str, ...]] | tuple[str, tuple[str, ...], Thing], ...] = (
    ("Scope of work and system size", ("G-001",)),
    ("Address, owner, authority", ("G-001",)),
    ("Installer and preparer with license", ("G-001",)),
    ("Adopted codes, editions, amendments", ("G-001",)),
    ("Sheet index", ("G-001",)),
    ("Legend of symbols and abbreviations", ("G-002",)),
    ("Disputed readings of the code for the authority to confirm", ("G-003",), "disputed reading"),
    ("Site plan with lot lines and distances", ("C-101",)),
    ("Structures, street, driveway, north, scale", ("C-101",)),
    (VICINITY, ("C-101",)),
    ("Places of meter, service, panels, disconnects, sources", ("C-101", "A-201")),
    ("Module layout, pathways, ridge setbacks, area ratio, obstructions", ("A-101",), "array on a roof"),
    ("Raceway routes and burial", ("C-101", "E-603")),
    ("Roof pitch and planes", ("A-101",), "array on a roof"),
    ("Doors and windows near a generator", ("C-101",), "generator"),
    ("Elevation with equipment and working space", ("A-201",)),
    ("Attachments, dead load", ("S-501",), "photovoltaic"),
    ("Framing, wind, snow, uplift", (), "photovoltaic"),
    (ATTACHED["structural letter"], ("Z-001",)),
    ("One-line diagram", ("E-601",)),
    ("Array configuration", ("E-601",), "photovoltaic"),
    ("Conductors and raceways of each circuit", ("E-603",)),
    ("Overcurrent devices, interrupting ratings, available fault current", ("E-603",)),
    ("Equipment ratings, panels with breaker positions", ("E-604",)),
    ("Disconnecting means: kind and place", ("E-604", "E-601")),
    ("Point of interconnection and busbar rule", ("E-605", "E-601"), "source in parallel"),
    ("Electrical calculations", ("E-605",)),
    ("Grounding and bonding, where the neutral is bonded", ("E-501", "E-601")),
    ("Service load calculation", ("E-606",)),
    ("Backup load calculation", ("E-606",), "backup"),
    ("Rapid shutdown", ("E-501", "E-601"), "rapid shutdown"),
    ("Label schedule", ("E-607",)),
    ("Directory placard", ("E-608",)),
    ("Storage: place, spacing, doors and windows, energy, vehicle protection, detection", ("A-401",), "energy storage"),
    (ATTACHED["specification sheet"], ("Z-001",)),
    (ATTACHED["evidence of listing"], ("Z-001",)),
    (ATTACHED["installation instructions"], ("Z-001",)),
    (ATTACHED["utility letter"], ("Z-001",)),
    ("Fuel piping, sound, screening of a generator", (), "generator"),
    ("Signatures, fees, utility approval", ()),
)


def coverage_of(sheets: Iterable[str], things: frozenset[Thing], not_stated: Container[str] = ()) -> tuple[CoverageRow, ...]:
    """Return every item that an installation with ``things`` is asked for, and the sheets that hold it. The cover is always there.

    ``not_stated`` are items that the project does not tell whole or attach: the applicant hands them in.
    """
    drawn = {"G-001", *sheets}
    rows = []
    for item, places, *only in ITEMS:
        if not things.issuperset(only):
            continue
        found = [place for place in places if place in drawn and item not in not_stated]
        where = ", ".join(found) or (_OUTSIDE if not places or item in not_stated else f"none in this set ({', '.join(places)})")
        rows.append(CoverageRow(item, where, bool(found)))
    return tuple(rows)
