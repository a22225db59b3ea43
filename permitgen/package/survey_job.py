"""The survey of an opened project, and what its answers become: text differences of the project file, written only on request."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from permitgen.package.changed_text import difference_of, write_changed
from permitgen.package.made_once import made_once
from permitgen.project.fields import NONE, UNKNOWN
from permitgen.project.key_forms import is_stated, key_form
from permitgen.project.load import build_written, project_path
from permitgen.project.written_answer import NoPlaceError, WrittenAnswer, with_answer
from permitgen.reading.problems import Problem, ProblemsError, quoted
from permitgen.reading.reader import read_text
from permitgen.reading.shared_files import shown_beside
from permitgen.system.key_form import SURVEY

if TYPE_CHECKING:
    from permitgen.package.opened_project import OpenedProject
    from permitgen.project.field_batches import FieldLog, LoggedEntry
    from permitgen.project.field_results import ResultEntry
    from permitgen.system.key_form import KeyForm
    from permitgen.views.survey import Survey

_ONCE = ("value", "could not see")
_WITH_SOURCE = "stated: its source stands with it"


@dataclass(frozen=True, slots=True)
class Taken:
    """What the answers change: the project file ``before`` and ``after``; ``written`` counts the keys.

    ``by_hand`` are answers that no single line of the file holds, ``unseen`` what could not be seen, ``photos`` those that were taken:
    sentences.
    """

    file: str
    before: str
    after: str
    written: int
    by_hand: tuple[str, ...]
    unseen: tuple[str, ...]
    photos: tuple[str, ...]

    @property
    def difference(self) -> str:
        """The unified difference of the project file, empty where no answer changes it."""
        return difference_of(self.before, self.after, self.file, "with the answers")


@made_once
def survey_of_project(opened: OpenedProject) -> Survey:
    """Return the survey of a project: what ``check`` asks of nameplates and the site, with what was answered before."""
    from permitgen.package.standing import findings_of_states
    from permitgen.views.document_id import with_document_id
    from permitgen.views.questions import questions_of
    from permitgen.views.survey import EarlierAnswer, survey_of

    questions = questions_of(findings_of_states(opened), opened.evaluation.system)
    earlier = [EarlierAnswer(e.line, e.value if e.answer == "value" else "", e.reason, e.by, e.day) for e in standing_answers(opened.field)]
    view = survey_of(opened.evaluation, questions, lambda path: form_of(opened, path), earlier, opened.fingerprint)
    return with_document_id("survey", view)


def form_of(opened: OpenedProject, path: str) -> KeyForm:
    """Return the form of the key at a dotted path of an opened project."""
    return key_form(opened.loaded, path.split("."))


def survey_files(opened: OpenedProject) -> dict[str, bytes]:
    """Return ``survey.html`` and ``survey.pdf``."""
    from permitgen.documents.survey_html import survey_html
    from permitgen.documents.survey_pdf import survey_pdf

    view = survey_of_project(opened)
    return {"survey.html": survey_html(view, opened.loaded.folder), "survey.pdf": survey_pdf(view)}


def standing_answers(log: FieldLog) -> tuple[ResultEntry, ...]:
    """Return the answers to questions of the survey that stand: in order of time, without those in whose place a later one stands."""
    return tuple(logged.entry for logged in _standing(log))


def _standing(log: FieldLog) -> list[LoggedEntry]:
    replaced = {logged.entry.repeats for logged in log.of_survey}
    return [logged for logged in log.of_survey if logged.entry.answer in _ONCE and logged.entry.id not in replaced]


def answers_taken(opened: OpenedProject) -> Taken:
    """Return what the answers in ``field/`` change in the project file; nothing is written.

    Raises:
        ProblemsError: one problem, at the answer that cannot be put in.
    """
    text = opened.loaded.written.text
    pending, by_hand = _pending(opened)
    changed = text
    for path, told in pending.items():
        changed = _put_in(opened, changed, path, told)
    if pending:
        _require_read(opened, text, changed, pending)
    standing = standing_answers(opened.field)
    seen = {entry.line for entry in standing if entry.answer == "value"}
    asked = _words_asked(opened)
    unseen = {entry.line: entry for entry in standing if entry.line in asked.keys() - seen}
    return Taken(
        file=opened.loaded.written.file,
        before=text,
        after=changed,
        written=len(pending),
        by_hand=tuple(by_hand),
        unseen=tuple(f"{asked[line]}: {_who(entry)}{f' ({entry.reason})' if entry.reason else ''}" for line, entry in unseen.items()),
        photos=tuple(f"{asked.get(photo.line, photo.line.removeprefix(SURVEY))}: {photo.path}" for photo in opened.field.survey_photos),
    )


def write_answers(project: Path, taken: Taken) -> None:
    """Write the project file with the answers in place of the one they were taken into.

    Raises:
        ProblemsError: the file was changed meanwhile.
        OSError: it cannot be written; it is then as it was.
    """
    write_changed(project_path(project), taken.file, taken.before, taken.after, "the answers were read")


_Pending = Mapping[tuple[str, ...], Sequence["LoggedEntry"]]


def _pending(opened: OpenedProject) -> tuple[_Pending, list[str]]:
    """Return the answers that stand by the key that holds them, where the file leaves it open, and those that no key holds in words."""
    asked = _words_asked(opened)
    found: dict[tuple[str, ...], list[LoggedEntry]] = {}
    by_hand: list[str] = []
    for logged in _standing(opened.field):
        entry = logged.entry
        path = tuple(entry.line.removeprefix(SURVEY).split("."))
        if entry.answer != "value" or is_stated(opened.loaded, path):
            continue
        form = key_form(opened.loaded, path)
        if form.kind != "told":
            found.setdefault(path, []).append(logged)
        elif entry.line in asked or form.meaning:  # else a person wrote what follows from it
            by_hand.append(f"{asked.get(entry.line, '.'.join(path))}: {entry.value}, {_who(entry)}")
    _require_agreement(opened, found)
    return found, by_hand


def _words_asked(opened: OpenedProject) -> Mapping[str, str]:
    """Return the words of every question that is asked today, by its line."""
    return {line.id: line.instruction for line in survey_of_project(opened).lines}


def _who(entry: ResultEntry) -> str:
    return f"survey, {entry.by}, {entry.day}"


def _require_agreement(opened: OpenedProject, pending: Mapping[tuple[str, ...], list[LoggedEntry]]) -> None:
    """Refuse answers that differ where the file cannot hold both: only a figure may have several sources."""
    for path, told in pending.items():
        values = {logged.entry.value for logged in told}
        has_sources = key_form(opened.loaded, path).has_source
        if len(values) > 1 and (not has_sources or any(_is_word(value) for value in values)):
            said = " and ".join(f"{quoted(logged.entry.value)} ({_who(logged.entry)})" for logged in told)
            raise _cannot(opened, told[-1], path, f"differing answers, {said}; answer it again in place of one, or write the key by hand")


def _cannot(opened: OpenedProject, logged: LoggedEntry, path: tuple[str, ...], message: str) -> ProblemsError:
    file = shown_beside(opened.loaded.file.file, logged.file)
    return ProblemsError([Problem(file, logged.line, 1, ".".join(path), message)])


def _is_word(value: str) -> bool:
    return value.casefold() in (NONE, UNKNOWN)


def _put_in(opened: OpenedProject, text: str, path: tuple[str, ...], told: Sequence[LoggedEntry]) -> str:
    try:
        return with_answer(text, _written(path, told, has_source=key_form(opened.loaded, path).has_source))
    except NoPlaceError as error:
        raise _cannot(opened, told[-1], path, f"{quoted(told[-1].entry.value)} {error}; write the key by hand") from error


def _written(path: tuple[str, ...], told: Sequence[LoggedEntry], *, has_source: bool) -> WrittenAnswer:
    """Return an answer as the file holds it: a figure with who states it, anything else with who told it behind it."""
    sources: dict[str, list[str]] = {}
    for logged in told:
        sources.setdefault(logged.entry.value, []).append(_who(logged.entry))
    if has_source and not any(_is_word(value) for value in sources):
        return WrittenAnswer(path, {value: "; ".join(dict.fromkeys(each)) for value, each in sources.items()}, _WITH_SOURCE)
    who = "; ".join(dict.fromkeys(source for each in sources.values() for source in each))
    return WrittenAnswer(path, next(iter(sources)), f"stated: {who}")


def _require_read(opened: OpenedProject, before: str, after: str, pending: _Pending) -> None:
    """Refuse the first answer with which the file does not read any more, in the words in which the reader refuses it."""
    if not _problems(opened, after):
        return
    text = before
    for path, told in pending.items():
        text = _put_in(opened, text, path, told)
        problems = _problems(opened, text)
        if problems:
            said = f"{quoted(told[-1].entry.value)} cannot stand there: {problems[0].message}; write the key by hand"
            raise _cannot(opened, told[-1], path, said)


def _problems(opened: OpenedProject, text: str) -> Sequence[Problem]:
    loaded = opened.loaded
    try:
        build_written(read_text(text, loaded.written.file), loaded.folder)
    except ProblemsError as error:
        return error.problems
    return ()
