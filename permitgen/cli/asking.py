"""Asks the questions of a new project on a terminal, screen by screen; an answer that cannot be read is asked for again."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from permitgen.cli.kept_answers import KeptAnswers
    from permitgen.project.starting.answers import Answer
    from permitgen.project.starting.declarations import Question
    from permitgen.project.starting.new_project import Given

_HOW = """\
Each question says why it is asked and where its answer is read. Enter or unknown: I do not know. "claim 200 A by owner": somebody says so
but nobody has read it. "{200 A: label in the door}": with its source. "back": to the question before. Stop with Ctrl-C: what you answered
is kept in a file, which is named, and can be taken up again."""
_BACK, _TERMINAL = "back", "terminal"


class Asking:
    """The answers of a new project as they are given on a terminal.

    ``given`` are those of files and options; what is ``offered`` by hardware that was picked is not asked; ``everything`` asks what few
    verdicts wait for, too. Each answer is kept in a file at once.
    """

    def __init__(self, given: Mapping[str, Given], offered: Mapping[str, Given], kept: KeptAnswers, *, everything: bool) -> None:
        self.found = dict(given)
        self._offered = offered
        self._kept = kept
        self._everything = everything
        self._typed: dict[str, str] = {}
        self._before: dict[str, str] = {}
        self._screen = ""
        click.echo(_HOW)

    def ask(self) -> Mapping[str, Given]:
        """Return all answers after what is missing was asked for."""
        while (step := self._next()) is not None:
            screen, question, answers = step
            if screen != self._screen:
                click.secho(f"\n{screen[:1].upper()}{screen[1:]}", bold=True)
                self._screen = screen
            self._take(question, answers)
        return self.found

    def ask_again(self, keys: tuple[str, ...]) -> bool:
        """Take back the answers typed to these questions, so that they are asked for once more; False where none of them was typed."""
        typed = [key for key in keys if key in self._typed]
        for key in typed:
            self._take_back(key)
        return bool(typed)

    def _next(self) -> tuple[str, Question, dict[str, Answer]] | None:
        """Return the next question that has no answer yet, with its screen and the answers before it; None where there is none."""
        from permitgen.project.starting.declarations import screens
        from permitgen.project.starting.new_project import is_asked

        answers: dict[str, Answer] = {}
        for screen in screens():
            for question in screen.questions:
                if not is_asked(question, answers):
                    if question.key in self._typed:
                        self._take_back(question.key)
                    continue
                answer = self._answer(question, answers)
                if answer is not None:
                    answers[question.key] = answer
                elif self._everything or not question.is_later:
                    return screen.title, question, answers
        return None

    def _answer(self, question: Question, answers: Mapping[str, Answer]) -> Answer | None:
        """Return the answer that is there; one that does not go with those before it is told, taken back and asked for."""
        from permitgen.project.starting.answers import read_answer
        from permitgen.project.starting.fitting import messages_at, only_choice

        key = question.key
        told = self.found.get(key) or self._offered.get(key)
        if told is None:
            only = only_choice(question, answers)
            return None if only is None else read_answer(question, only)
        answer = read_answer(question, told.value)
        wrong = next(messages_at(question, answer, answers), None)
        if wrong is None:
            return answer
        click.echo(f"  {told.message(key, wrong)}", err=True)
        self._typed.pop(key, None)
        self.found.pop(key, None)
        return None

    def _take(self, question: Question, answers: Mapping[str, Answer]) -> None:
        """Ask one question until it is answered, or somebody wants back."""
        from permitgen.project.starting.answers import WRITTEN_AS
        from permitgen.project.starting.fitting import choices_left
        from permitgen.project.starting.meant import units_of
        from permitgen.project.starting.new_project import Given

        left = choices_left(question, answers)
        units = f"; a number alone is in {units[0]}" if len(units := units_of(question)) == 1 else ""
        click.echo(f"\n{question.asks}?")
        click.echo(f"  why: {question.why}; found: {question.found}{units}")
        if question.reads in WRITTEN_AS:
            click.echo(f"  write {WRITTEN_AS[question.reads]}")
        for number, (choice, meaning) in enumerate(left.items(), 1):
            click.echo(f"  {number}. {choice}: {meaning}")
        default = self._before.get(question.key) or ("unknown" if question.can_be_left_open else "")
        while True:
            text: str = click.prompt(f"  {question.key}", default=default, show_default=bool(default)).strip()
            if text.casefold() == _BACK:
                self._back()
                return
            value = _taken(question, text, tuple(left), answers)
            if value is not None:
                self.found[question.key] = Given(value, _TERMINAL)
                self._typed[question.key] = text
                self._kept.keep(self.found)
                return

    def _back(self) -> None:
        if not self._typed:
            click.echo("  this is the first question", err=True)
            return
        self._take_back(next(reversed(self._typed)))

    def _take_back(self, key: str) -> None:
        self._before[key] = self._typed.pop(key)
        self.found.pop(key, None)
        self._screen = ""


def _taken(question: Question, text: str, left: tuple[str, ...], answers: Mapping[str, Answer]) -> Any:
    """Return what was answered as a file of answers would hold it, None where it cannot be taken and why was told."""
    from permitgen.project.starting.answers import read_answer, typed
    from permitgen.project.starting.fitting import messages_at
    from permitgen.project.starting.meant import MeantError
    from permitgen.reading.problems import ProblemsError

    told = _chosen(text, left, is_several=question.reads == "several") if left else text
    try:
        value = typed(told, _TERMINAL)
        answer = read_answer(question, value)
    except MeantError as error:
        return _asked_back(error, question, answers)
    except ValueError as error:
        click.echo(f"  {error}", err=True)
        return None
    except ProblemsError as error:
        click.echo("\n".join(f"  {problem.message}" for problem in error.problems), err=True)
        return None
    if wrong := next(messages_at(question, answer, answers), None):
        click.echo(f"  {wrong}", err=True)
        return None
    meant = answer.value if answer.is_known and isinstance(answer.value, str) and isinstance(value, str) else value
    if meant != text and isinstance(meant, str):
        click.echo(f"  read as {meant}")
    return meant


def _asked_back(error: Any, question: Question, answers: Mapping[str, Answer]) -> Any:
    """Let somebody say which of several readings is meant: by its unit, its number or the whole."""
    click.echo(f"  which is meant? {', '.join(f'{number}. {reading}' for number, reading in enumerate(error.readings, 1))}")
    text: str = click.prompt(f"  {question.key}", default="", show_default=False).strip()
    for number, reading in enumerate(error.readings, 1):
        if text.casefold() in {str(number), reading.casefold(), reading.lstrip("+-0123456789./ ").casefold()}:
            return _taken(question, reading, (), answers)
    return _taken(question, text, (), answers)


def _chosen(text: str, left: tuple[str, ...], *, is_several: bool) -> str:
    """Return the choices that are meant by numbers, or by the beginning or a word of one alone."""
    parts = [part.strip() for part in text.split(",")] if is_several else [text]
    return ", ".join(_one_chosen(part, left) for part in parts if part)


def _one_chosen(text: str, left: tuple[str, ...]) -> str:
    if text.isdecimal() and 0 < int(text) <= len(left):
        return left[int(text) - 1]
    folded = text.casefold()
    for is_meant in (str.__eq__, str.startswith, str.__contains__):
        found = [choice for choice in left if is_meant(choice.casefold(), folded)]
        if len(found) == 1:
            return found[0]
    return text
