"""Checks of what a person says about the built state: departures, settlements, warranties; and of inspections."""

from __future__ import annotations

from collections.abc import Iterator

from permitgen.project.reference_check import Check
from permitgen.project.sections.built import BuiltModel
from permitgen.project.sections.project_file import ProjectFile
from permitgen.reading.problems import Problem


def built_claims(check: Check) -> Iterator[Problem]:
    """What a person says about the built state names keys and equipment that there are, and says each thing in one way."""
    built = check.models.built
    if built is None:
        return
    for index, departure in enumerate(built.departures):
        steps = departure.path.split(".")
        if steps[0] not in ProjectFile.model_fields:
            yield check.unknown(("built", "departures", index, "path"), "no section is called", steps[0], ProjectFile.model_fields)
    for key, days in (("warranties", built.warranties), ("installed", built.installed)):
        for tag in days:
            if tag not in check.models.equipment:
                yield check.unknown(("built", key, tag), "there is no equipment", tag, check.models.equipment)
    yield from _settlements(check, built)


def _settlements(check: Check, built: BuiltModel) -> Iterator[Problem]:
    """A settlement names one place and one answer."""
    for index, settlement in enumerate(built.settlements):
        location = ("built", "settlements", index)
        if bool(settlement.line) == bool(settlement.path):
            yield check.problem(location, "a settlement names a line of the checklist or a path of this file, one of the two")
        if bool(settlement.entry) == bool(settlement.value):
            yield check.problem(location, "a settlement names the entry that counts or the value that stands, one of the two")
        steps = settlement.path.split(".")
        if settlement.path and steps[0] not in ProjectFile.model_fields:
            yield check.unknown((*location, "path"), "no section is called", steps[0], ProjectFile.model_fields)


def inspections(check: Check) -> Iterator[Problem]:
    """An inspection that passed left nothing open, and what was put right was put right after it."""
    for index, each in enumerate(check.models.inspections):
        where = ("inspections", index)
        if each.result == "passed" and each.failed:
            yield check.problem(
                (*where, "failed"), "an inspection that passed has no failed items; expected result: failed, or none of them"
            )
        if each.result == "failed" and not each.failed:
            yield check.problem(where, "an inspection that failed says what did not pass; expected failed: with an item of the card")
        for number, item in enumerate(each.failed):
            if item.corrected_on and item.corrected_on < each.date:
                said = f"put right on {item.corrected_on}, before the inspection of {each.date} that found it"
                yield check.problem((*where, "failed", number, "corrected_on"), said)
