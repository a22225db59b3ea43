"""The directory placards of an opened project: those that are due, and those that could be made."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.package.made_once import made_once

if TYPE_CHECKING:
    from permitgen.package.opened_project import OpenedProject
    from permitgen.views.placard import Placard

PLACARD = "Directory placard"
"""What the document is called where it could not be made."""


@made_once
def placards_due(opened: OpenedProject) -> tuple[Placard, ...]:
    """Return every placard of a project, one for each place at which it is posted."""
    from permitgen.views.placard import placards_of

    return placards_of(opened.evaluation)


def placards_made(opened: OpenedProject) -> tuple[Placard, ...]:
    """Return the placards that the other documents show: none where the text fits on no plate."""
    return () if PLACARD in opened.not_made else placards_due(opened)
