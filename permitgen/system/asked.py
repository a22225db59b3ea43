"""What a department asked for once, kept so that it is looked for before every later submission to that department."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from permitgen.values.origin import ProjectLine


@dataclass(frozen=True, slots=True, kw_only=True)
class Demand:
    """What is asked for, in our own words (``about``), and how it is looked for: by one of ``states``, ``shows``, ``attaches``, ``answer``.

    ``states`` is a key of the project file, of each thing of the kind or section ``of`` where there is one, ``at_least`` and ``at_most``
    the figures as they are written. ``shows`` are words on the document ``on``. ``attaches`` are words of the title of an attached paper.
    ``answer`` is what was right to answer, under ``section``, where nothing was to be changed. ``only_with`` and ``not_with`` name
    things of an installation (``views.presence``) on which it depends whether this is asked for at all.
    """

    about: str
    states: str = ""
    of: str = ""
    at_least: str = ""
    at_most: str = ""
    shows: str = ""
    on: str = ""
    attaches: str = ""
    answer: str = ""
    section: str = ""
    only_with: tuple[str, ...] = ()
    not_with: tuple[str, ...] = ()

    @property
    def looked_for(self) -> tuple[object, ...]:
        """How it is looked for, without the words: the same demand, whoever put it in words."""
        figures = (self.states, self.of, self.at_least, self.at_most)
        return (*figures, self.shows, self.on, self.attaches, self.answer, self.only_with, self.not_with)


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedBefore:
    """A demand with the day on which it was made in each project, by the project's number, and what answered it there."""

    demand: Demand
    asked_in: Mapping[str, str] = field(default_factory=dict)
    answered_by: Mapping[str, str] = field(default_factory=dict)
    at: ProjectLine | None = None
