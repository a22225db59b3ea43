"""Turns the sections ``built`` and ``inspections`` into what the system knows of the built state."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel

from permitgen.project.cursor import Cursor
from permitgen.project.measured import Measured
from permitgen.system.approval import FailedItem, Inspection
from permitgen.system.built_state import Built, Departure, Settlement, Told, WithdrawnPhoto


def built_of(root: Cursor) -> Built | None:
    """Return what the file says about the built state; None where it says nothing."""
    models: Any = root.model
    given = models.built
    if given is None:
        return None
    at = root.child("built")
    departures = tuple(
        Departure(
            path=d.path,
            permitted=permitted_text(models, d.path),
            built=tree_text(d.to),
            reason=d.reason,
            decided_by=d.decided_by,
            date=d.date,
            approved_by=d.approved_by,
            at=at.line("departures", index),
        )
        for index, d in enumerate(given.departures)
    )
    settlements = tuple(
        Settlement(
            line=s.line,
            path=s.path,
            entry=s.entry,
            value=s.value,
            reason=s.reason,
            decided_by=s.decided_by,
            date=s.date,
            approved_by=s.approved_by,
            at=at.line("settlements", index),
        )
        for index, s in enumerate(given.settlements)
    )
    return Built(
        departures=departures,
        settlements=settlements,
        warranties=tuple(given.warranties.items()),
        installed=tuple(given.installed.items()),
        told=tuple(Told(what=t.what, to=t.to, date=t.date, by=t.by) for t in given.told),
        withdrawn=tuple(
            WithdrawnPhoto(photo=w.photo, by=w.by, date=w.date, reason=w.reason, at=at.line("withdrawn", index))
            for index, w in enumerate(given.withdrawn)
        ),
    )


def inspections_of(root: Cursor) -> tuple[Inspection, ...]:
    """Return the inspections in the order of their days."""
    models: Any = root.model
    found = (_inspection(root, index, each, models.jurisdiction.authority) for index, each in enumerate(models.inspections))
    return tuple(sorted(found, key=lambda each: each.date))


def _inspection(root: Cursor, index: int, given: Any, authority: str) -> Inspection:
    failed = (
        FailedItem(
            item=item.item,
            what=item.what,
            corrected_on=item.corrected_on,
            corrected_by=item.corrected_by,
            how=item.how,
            at=root.line("inspections", index, "failed", number),
        )
        for number, item in enumerate(given.failed)
    )
    return Inspection(
        date=given.date,
        by=given.by,
        office=given.office or authority,
        passed=given.result == "passed",
        failed=tuple(failed),
        copy=given.copy_,
        at=root.line("inspections", index),
    )


def tree_text(tree: Any) -> str:
    """Return a value of the file as one line: ``8 AWG``, or ``{from: HP.4, to: INV1.ac}``."""
    if isinstance(tree, dict):
        return "{" + ", ".join(f"{key}: {tree_text(value)}" for key, value in tree.items()) + "}"
    if isinstance(tree, list):
        return "[" + ", ".join(tree_text(value) for value in tree) + "]"
    return "" if tree is None else "; ".join(" ".join(line.split()) for line in str(tree).splitlines() if line.strip())


def permitted_text(models: Any, path: str) -> str:
    """Return what the permitted part of the file says at ``path``, as written; empty where it says nothing."""
    found: Any = models
    for step in path.split("."):
        found = found.get(step) if isinstance(found, dict) else getattr(found, {"from": "from_"}.get(step, step), None)
        if found is None:
            return ""
    if isinstance(found, list) and not found:
        return ""
    if isinstance(found, BaseModel) or (isinstance(found, list) and isinstance(found[0], BaseModel)):
        return "as permitted"
    if isinstance(found, tuple):
        return ", ".join(str(part) for part in found)
    return found.text if isinstance(found, Measured) else str(getattr(found, "spelled", found))
