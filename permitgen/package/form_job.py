"""Fills the forms of a project: looks up the values that its mappings name, and says of each that cannot be written where and why."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from permitgen.documents.forms.form import Answers, FormFaultsError, FormRefusedError, Placed, Said
from permitgen.documents.forms.form_file import filled_form
from permitgen.package.standing import standing_of_project
from permitgen.project.form_mapping import LEAVE_EMPTY
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import Problem, ProblemsError, quoted
from permitgen.views.form_values import Given, values_by_name
from permitgen.views.gates import gate_text

if TYPE_CHECKING:
    from permitgen.package.form_files import MappedForm
    from permitgen.package.opened_project import OpenedProject
    from permitgen.project.form_mapping import FormEntry, FormMapping

FOLDER = "forms"
Values = Mapping[str, Callable[[], Given]]


def answers_in_forms(opened: OpenedProject) -> tuple[tuple[str, bytes, Answers], ...]:
    """Return each form that the project names, with all that goes into it.

    Raises:
        ProblemsError: a value cannot be written.
    """
    values, band = values_by_name(opened.evaluation) if opened.forms else {}, band_of(opened)
    return tuple((form.name, form.content, _Asked(form.mapping, values).answers(band)) for form in opened.forms)


def filled_forms(opened: OpenedProject) -> dict[str, bytes]:
    """Return ``forms/NAME`` for each form that the project names.

    Raises:
        ProblemsError: a mapping names what is not there, a value is missing, or a form does not take it; one message each.
    """
    if not opened.forms:
        return {}
    values = values_by_name(opened.evaluation)
    band = band_of(opened)
    files: dict[str, bytes] = {}
    problems: list[Problem] = []
    for index, form in enumerate(opened.forms):
        try:
            files[f"{FOLDER}/{form.name}"] = _filled(form, values, band)
        except ProblemsError as error:
            problems += error.problems
        except FormRefusedError as error:
            problems.append(opened.loaded.file.problem(("forms", index, "file"), f"{quoted(form.file)} {error}"))
    if problems:
        raise ProblemsError(problems)
    return files


def band_of(opened: OpenedProject) -> str:
    """Return the warning on what is handed in while the gate of the permit is shut, empty while it is open."""
    gate = standing_of_project(opened).gate("permit")
    return "" if gate.is_open else f"NOT {gate_text(gate)}"


def _filled(form: MappedForm, values: Values, band: str) -> bytes:
    asked = _Asked(form.mapping, values)
    answers = asked.answers(band)
    try:
        return filled_form(form.content, answers)
    except FormFaultsError as error:
        raise ProblemsError(form.mapping.problem(asked.entry(fault.key).at, fault.message) for fault in error.faults) from error


class _Asked:
    """What a mapping asks for, looked up; a value that nobody states and that may be left out is in no answer."""

    def __init__(self, mapping: FormMapping, values: Values) -> None:
        self._mapping = mapping
        self._problems: list[Problem] = []
        said = {entry: self._said(entry, values) for entry in (*dict(mapping.fields).values(), *(place.entry for place in mapping.places))}
        self._fields = {name: (entry, what) for name, entry in mapping.fields if (what := said[entry]) is not None}
        self._places = [(place, what) for place in mapping.places if (what := said[place.entry]) is not None]

    def answers(self, band: str) -> Answers:
        """Return what goes into the form.

        Raises:
            ProblemsError: a value is not known or is missing.
        """
        if self._problems:
            raise ProblemsError(self._problems)
        places = (Placed(place.page, place.left_in, place.top_in, what, place.width_in, place.size_pt) for place, what in self._places)
        return Answers({name: what for name, (_, what) in self._fields.items()}, tuple(places), band)

    def entry(self, key: str | int) -> FormEntry:
        """Return the entry that an answer came from."""
        return self._fields[key][0] if isinstance(key, str) else self._places[key][0].entry

    def _said(self, entry: FormEntry, values: Values) -> Said | None:
        try:
            return said_by(entry, values)
        except FormValueError as error:
            self._problems.append(self._mapping.problem(entry.at, str(error)))
            return None


class FormValueError(ValueError):
    """A value that cannot be written; the message says why and what would do."""


def said_by(entry: FormEntry, values: Values) -> Said | None:
    """Return what an entry writes, None where its value is missing and may be.

    Raises:
        FormValueError: there is no such value, it is missing, or it is of another kind than the entry.
    """
    if entry.kind == "text":
        return entry.said
    if entry.kind == "tick" and entry.answer is not None:
        return entry.answer
    if entry.said not in values:
        raise FormValueError(
            f"there is no value {quoted(entry.said)}{did_you_mean(entry.said, values)} (all of them: permitgen forms --values)"
        )
    given = values[entry.said]()
    if given is None:
        if entry.may_be_empty:
            return None
        raise FormValueError(f"the project does not state {entry.said}; state it, or write if_missing: {LEAVE_EMPTY} beside it")
    return _ticked(entry, given) if entry.kind == "tick" else _worded(entry, given)


def _ticked(entry: FormEntry, given: Given) -> bool:
    if not isinstance(given, bool):
        raise FormValueError(
            f"{entry.said} is {quoted(str(given))}, neither yes nor no; a tick takes yes, no, or a value that is one of them"
        )
    return given


def _worded(entry: FormEntry, given: Given) -> str:
    text = ("yes" if given else "no") if isinstance(given, bool) else str(given)
    words = dict(entry.read_as)
    if words and text not in words:
        raise FormValueError(f"{entry.said} is {quoted(text)}, for which nothing stands under as{did_you_mean(text, words)}")
    return words.get(text, text)
