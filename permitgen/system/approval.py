"""What the authority approved: the stamped set of a revision, every size that stood in it, and how its inspections went."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from permitgen.values.conductor_size import ConductorSize
    from permitgen.values.origin import ProjectLine
    from permitgen.values.value import Value

SizedThing = Literal["overcurrent device", "conductor", "equipment grounding conductor", "raceway", "grounding electrode conductor"]
SIZED_THINGS: tuple[SizedThing, ...] = (
    "overcurrent device",
    "conductor",
    "equipment grounding conductor",
    "raceway",
    "grounding electrode conductor",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Approval:
    """The stamped set of a revision, as it came back: by whom and when, and the files in the project folder.

    ``copy`` is the stamped set, ``permit_card`` the card that hangs on site (empty where it is not kept), ``conditions`` what the
    authority wrote on either. ``date`` is year-month-day.
    """

    date: str
    by: str
    office: str
    copy: str
    permit_number: str = ""
    permit_card: str = ""
    conditions: tuple[str, ...] = ()

    @property
    def files(self) -> tuple[str, ...]:
        """The papers, as paths inside the project folder."""
        return tuple(name for name in (self.copy, self.permit_card) if name)


@dataclass(frozen=True, slots=True)
class ApprovedSize:
    """One size of the approved set: ``what`` of ``tag`` is ``text``; ``size`` is the same for calculation, ``at`` the line it stands on."""

    tag: str
    what: SizedThing
    text: str
    size: ConductorSize | Value | str
    at: ProjectLine

    @property
    def key(self) -> tuple[str, str]:
        """What tells it from others: thing and tag."""
        return self.what, self.tag


@dataclass(frozen=True, slots=True)
class ApprovedSizes:
    """Every size that stood in the approved set of a revision."""

    revision: int
    sizes: tuple[ApprovedSize, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FailedItem:
    """What did not pass at an inspection: the ``item`` of the inspector's card, and how it was put right (empty: it was not)."""

    item: str
    what: str
    corrected_on: str = ""
    corrected_by: str = ""
    how: str = ""
    at: ProjectLine | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Inspection:
    """One inspection of the authority; ``date`` is year-month-day, ``copy`` the signed card's file in the project folder."""

    date: str
    by: str
    office: str
    passed: bool
    failed: tuple[FailedItem, ...] = ()
    copy: str = ""
    at: ProjectLine | None = None
