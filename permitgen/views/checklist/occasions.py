"""What is kept of an installation after it was accepted: yearly check, service visit, sale, fire, removal, each a short form.

Its answers come home as results of the field checklist do, and into the same log. A line of an occasion is asked anew each time, so that
of its answers those of the newest day count; a line of the checklist is asked once.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any

import yaml

from permitgen.views.checklist.line import DONE, TEXT, ChecklistLine

if TYPE_CHECKING:
    from permitgen.system.built_state import FieldResult
    from permitgen.views.presence import Thing

PREFIX = "occasion:"
NEW_CUSTODIAN = f"{PREFIX}sale:custodian"
_CLEARED, _ALL_REMOVED = f"{PREFIX}fire:cleared", f"{PREFIX}removal:all"


@dataclass(frozen=True, slots=True)
class OccasionLine:
    """A line with the same in Spanish; ``shuts``: a no is a test that failed."""

    line: ChecklistLine
    spanish: str
    shuts: bool


@dataclass(frozen=True, slots=True)
class Occasion:
    """A short form: ``title`` and ``says`` by language."""

    id: str
    title: Mapping[str, str]
    says: Mapping[str, str]
    lines: tuple[OccasionLine, ...]


@cache
def _forms() -> Mapping[str, Mapping[str, Any]]:
    loaded: Mapping[str, Mapping[str, Any]] = yaml.safe_load(
        files("permitgen.views.checklist").joinpath("occasions.yaml").read_text("utf-8")
    )
    return loaded


def occasions_of(things: Set[Thing]) -> tuple[Occasion, ...]:
    """Return the short forms of an installation that has these things."""
    return tuple(
        Occasion(
            id_,
            form["title"],
            form["says"],
            tuple(_line(id_, name, row) for name, row in form["lines"].items() if row.get("thing") is None or row["thing"] in things),
        )
        for id_, form in _forms().items()
    )


def _line(form: str, name: str, row: Mapping[str, str]) -> OccasionLine:
    rule = DONE if row["kind"] == "done" else TEXT
    line = ChecklistLine(id=f"{PREFIX}{form}:{name}", tag="", instruction=row["en"], rule=rule, basis="CP", is_private=rule is TEXT)
    return OccasionLine(line, row["es"], row.get("shuts") == "yes")


def is_of_occasion(line: str) -> bool:
    """Whether the id of a line is one of an occasion."""
    return line.startswith(PREFIX)


def status_after(results: Sequence[FieldResult]) -> str:
    """Return what the occasions say of the whole: ``removed``, ``do not energize``, or empty where they say nothing.

    After a fire it is the latter, until a day on or after that of the report somebody answers that it may be turned on again.
    """
    removed = [(result.value("at"), result.value("answer")) for result in results if result.value("line") == _ALL_REMOVED]
    if removed and max(removed)[1] == "yes":
        return "removed"
    of_fire = [result for result in results if result.value("line").startswith(f"{PREFIX}fire:") and result.value("answer") != "note"]
    cleared = [result.value("at") for result in of_fire if _is_cleared(result)]
    reported = [result.value("at") for result in of_fire if not _is_cleared(result)]
    return "do not energize" if reported and max(reported) > max(cleared, default="") else ""


def _is_cleared(result: FieldResult) -> bool:
    return result.value("line") == _CLEARED and result.value("answer") == "yes"
