"""Checks the names of labels that a project file uses, and the label specifications beside it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import Problem, ProblemsError
from permitgen.views.label_set import LEAVE_OUT, PRINT
from permitgen.views.label_specs import load_label_specs

if TYPE_CHECKING:
    from permitgen.project.load import LoadedProject

_FOLDER = "label_specs"


def label_problems(loaded: LoadedProject) -> list[Problem]:
    """Return every mistake in the specifications beside a project file, else every label it names that does not exist."""
    folder = loaded.folder / _FOLDER
    try:
        ids = list(load_label_specs([folder] if folder.is_dir() else []))
    except ProblemsError as error:
        return list(error.problems)
    return [*_overrides(loaded, ids), *_existing(loaded, ids), *_asked_for(loaded, ids)]


def _overrides(loaded: LoadedProject, ids: list[str]) -> Iterator[Problem]:
    for name, asked in loaded.system.label_overrides.items():
        if name not in ids:
            yield loaded.file.problem(("labels", name), f'no label is called "{name}"{did_you_mean(name, ids)}', at_key=True)
        if asked not in (PRINT, LEAVE_OUT):
            choices = (PRINT, LEAVE_OUT)
            yield loaded.file.problem(
                ("labels", name), f'"{asked}" is not known here; write print or leave out{did_you_mean(asked, choices)}'
            )


def _asked_for(loaded: LoadedProject, ids: list[str]) -> Iterator[Problem]:
    for index, name in enumerate(loaded.system.jurisdiction.asks_for):
        if name not in ids:
            yield loaded.file.problem(("jurisdiction", "asks_for", index), f'no label is called "{name}"{did_you_mean(name, ids)}')


def _existing(loaded: LoadedProject, ids: list[str]) -> Iterator[Problem]:
    for tag, item in loaded.system.equipment.items():
        where = ("equipment", tag, "existing_labels")
        if item.existing_labels and item.status != "existing":
            yield loaded.file.problem(where, f"{tag} is {item.status}; labels hang already only on equipment with status: existing")
        for index, name in enumerate(item.existing_labels):
            if name not in ids:
                yield loaded.file.problem((*where, index), f'no label is called "{name}"{did_you_mean(name, ids)}')
