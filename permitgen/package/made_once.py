"""What several documents of a project show is made once: the calculation, the labels, the sheets, the comparison with what was built."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import TYPE_CHECKING, TypeVar
from weakref import WeakKeyDictionary

if TYPE_CHECKING:
    from permitgen.package.opened_project import OpenedProject

Made = TypeVar("Made")


def made_once(make: Callable[[OpenedProject], Made]) -> Callable[[OpenedProject], Made]:
    """Return ``make`` such that a project is given the same thing each time; it is forgotten with the project.

    An opened project is its own key: one that says that a document is missing is another project.
    """
    made: WeakKeyDictionary[OpenedProject, Made] = WeakKeyDictionary()

    @wraps(make)
    def kept(opened: OpenedProject) -> Made:
        if opened not in made:
            made[opened] = make(opened)
        return made[opened]

    return kept
