"""Makes a new project of answers: takes them, asks for what is missing, builds the file before anything is written."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from permitgen.project.load import PROJECT_FILE_NAME, build_written
from permitgen.project.starting.answers import Answer, read_answer
from permitgen.project.starting.conditions import all_hold, holds
from permitgen.project.starting.declarations import Question, questions, refused
from permitgen.project.starting.drafting import Branch, Leaf, Mark, draft, leaves
from permitgen.project.starting.file_text import project_text
from permitgen.project.starting.fitting import messages_of_number, only_choice
from permitgen.project.starting.not_asked import NotAsked, answers_not_asked
from permitgen.project.starting.picked_hardware import Picked, PickError
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import Problem, ProblemsError
from permitgen.reading.reader import read_text

NOTHING_PICKED = Picked()
# Messages count the entries of a list from 1.
_INDEX = re.compile(r"\[([0-9]+)\]")


class AnswersError(Exception):
    """Answers from which no file is written; ``messages`` says of each why, in the order of the questions.

    ``keys`` are the questions whose answers the file as a whole refuses, so that they can be asked again.
    """

    def __init__(self, messages: Iterable[str], keys: Iterable[str] = ()) -> None:
        self.messages = tuple(dict.fromkeys(messages))
        self.keys = tuple(dict.fromkeys(keys))
        super().__init__(self.messages)


@dataclass(frozen=True, slots=True)
class Given:
    """An answer as it was given: its text, list or mapping, and where: a place in a file, or an option."""

    value: Any
    where: str

    def message(self, key: str, says: str) -> str:
        """Return what is wrong with it, as one line."""
        return f"{self.where}: {key}: {says}"


@dataclass(frozen=True, slots=True)
class NewProject:
    """The text of a project file that builds, the draft that it was written from, and the answers that this house is not asked for."""

    text: str
    file: Branch
    not_asked: tuple[NotAsked, ...] = ()

    @property
    def counts(self) -> Mapping[Mark, int]:
        """How many values rest on what."""
        marks = [leaf.mark for _, leaf in leaves(self.file)]
        return {mark: marks.count(mark) for mark in Mark}

    @property
    def open_by_who_knows(self) -> Mapping[str, Mapping[str, tuple[str, ...]]]:
        """The keys that are open, by who knows them and by thing, in the order of the file."""
        found: dict[str, dict[str, tuple[str, ...]]] = {}
        for path, leaf in leaves(self.file):
            if leaf.mark is Mark.OPEN:
                thing = ".".join(path[:2])
                things = found.setdefault(leaf.knows, {})
                things[thing] = (*things.get(thing, ()), ".".join(path[2:]) or path[-1])
        return found


def is_asked(question: Question, answers: Mapping[str, Answer]) -> bool:
    """Whether the answers so far make a question one of this house."""
    return all_hold(question.when, answers)


def project_of(given: Mapping[str, Given], offered: Mapping[str, Given], folder: Path, picked: Picked = NOTHING_PICKED) -> NewProject:
    """Return the project file of what was given; what is wrong is told in one round, as far as the house can be laid out without it.

    What was not given and is not asked for in the first round stays open. ``offered`` is what hardware that was picked says: taken where
    this house is asked for it and nobody answered.

    Raises:
        AnswersError: one message for each answer that is wrong or missing, by itself or together with others.
    """
    taken = _taken(given, offered)
    wrong = list(taken.wrong)
    keys: tuple[str, ...] = ()
    if taken.is_laid_out:
        try:
            made = _made(taken.answers, given, folder, picked)
        except AnswersError as error:
            wrong += error.messages
            keys = error.keys
        else:
            if not wrong:
                return made
    raise AnswersError(wrong, keys)


def unreadable(given: Mapping[str, Given]) -> list[str]:
    """Return what is wrong with each answer by itself, whatever the house is."""
    return [*_unknown_keys(given), *(message for key in questions() if key in given for message in _read(key, given[key])[1])]


@dataclass(frozen=True, slots=True)
class _Taken:
    """The answers that can be read, what is wrong with the others, and whether all are there that the layout of the house hangs on.

    What was answered and is not asked of this house is among the answers, and says so.
    """

    answers: dict[str, Answer]
    wrong: tuple[str, ...]
    is_laid_out: bool


def _taken(given: Mapping[str, Given], offered: Mapping[str, Given]) -> _Taken:
    answers: dict[str, Answer] = {}
    wrong = _unknown_keys(given)
    is_whole = True
    for key, question in questions().items():
        asked = is_asked(question, answers)
        told = given.get(key) or (offered.get(key) or _following(question, answers) if asked else None)
        if told is None and (not asked or question.is_later):
            continue
        answer, messages = _read(key, told) if told is not None else (None, [f"{key}: {missing_message(question)}"])
        wrong += messages
        if answer is not None:
            answers[key] = replace(answer, is_asked=asked)
        is_whole &= answer is not None or not asked or question.can_be_left_open
    of_the_layout = layout_messages(given, answers)
    return _Taken(answers, (*of_the_layout, *wrong), is_whole and not of_the_layout)


def _following(question: Question, answers: Mapping[str, Answer]) -> Given | None:
    only = only_choice(question, answers)
    return None if only is None else Given(only, "follows from the layout")


def _read(key: str, told: Given) -> tuple[Answer | None, list[str]]:
    try:
        return read_answer(questions()[key], told.value), []
    except ValueError as error:
        return None, [told.message(key, str(error))]


def _unknown_keys(given: Mapping[str, Given]) -> list[str]:
    known = questions()
    return [each.message(key, f"there is no such question{did_you_mean(key, known)}") for key, each in given.items() if key not in known]


def layout_messages(given: Mapping[str, Given], answers: Mapping[str, Answer]) -> list[str]:
    """Return why the layout of the answers is not written, at the first answer that the message is about."""
    found = []
    for each in refused():
        if holds(each.when, answers) and (not each.unasked or _is_told_in_vain(answers.get(each.unasked))):
            key = each.unasked or next(name for name in each.when if name in given)
            found.append(given[key].message(key, each.says))
    for key, answer in answers.items():
        if answer.is_asked:
            found += [given[key].message(key, says) for says in messages_of_number(questions()[key], answer, answers)]
    return found


def _is_told_in_vain(answer: Answer | None) -> bool:
    return answer is not None and not answer.is_asked and answer.is_known and answer.value != "nothing"


def missing_message(question: Question) -> str:
    """Return what is missing without an answer, and how it is given."""
    known = "" if not question.can_be_left_open else f", or {question.key}=unknown where nobody knows it"
    choices = f" ({', '.join(question.choices)})" if question.choices else ""
    return f"{question.asks}?{choices} {question.found}; answer with --answer {question.key}=…{known}"


def _made(answers: Mapping[str, Answer], given: Mapping[str, Given], folder: Path, picked: Picked) -> NewProject:
    """Return the project file of the answers, which was built once to see that it is sound.

    Raises:
        AnswersError: what the project file says of the answers together, each at the answer that it is about.
    """
    file = draft(answers)
    not_asked = answers_not_asked(answers, file)
    try:
        picked.put_into(file)
    except PickError as error:
        raise AnswersError([f"--use: {error}"]) from error
    remarks = {each.key: each.value for each in not_asked if not each.is_in_the_file}
    made = NewProject(project_text(file, remarks), file, not_asked)
    try:
        build_written(read_text(made.text, PROJECT_FILE_NAME), folder)
    except ProblemsError as error:
        by_path = dict(leaves(file))
        keys = [_answered_at(problem, by_path, given) for problem in error.problems]
        messages = [
            given[key].message(key, problem.message) if key else f"{problem.where}: {problem.message}"
            for key, problem in zip(keys, error.problems, strict=True)
        ]
        raise AnswersError(messages, [key for key in keys if key]) from error
    return made


def _answered_at(problem: Problem, by_path: Mapping[tuple[str, ...], Leaf], given: Mapping[str, Given]) -> str:
    """Return the question whose answer a problem of the file is about; none where it is about no answer."""
    path = tuple(_INDEX.sub(lambda found: f".{int(found[1]) - 1}", problem.where).split("."))
    above = (by_path.get(path[:length]) for length in range(len(path), 0, -1))
    below = {leaf.question for each, leaf in by_path.items() if each[: len(path)] == path}
    asked = (*(leaf.question for leaf in above if leaf is not None), *(below if len(below) == 1 else ()))
    return next((key for key in asked if key in given), "")
