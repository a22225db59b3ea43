"""Who described a piece of hardware from what, and who checked it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.values.origin import ProjectLine


@dataclass(frozen=True, slots=True, kw_only=True)
class DescribedHardware:
    """The description of hardware of a hardware file, or one that names its data sheet; ``tag`` is its name in the catalog.

    ``data_sheet`` names file, page and row, empty where nobody says; ``sheet_file`` is that file as seen from the project's folder,
    ``sheet_page`` its page, ``boxed`` the first words of the rows on it that matter. ``checked_by`` compared it with its sources on
    ``checked_on``; both empty where nobody did.
    """

    tag: str
    name: str
    data_sheet: str = ""
    sheet_file: str = ""
    sheet_page: str = ""
    boxed: tuple[str, ...] = ()
    checked_by: str = ""
    checked_on: str = ""
    at: ProjectLine | None = None
