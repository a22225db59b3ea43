"""Asks the questions of a new project on a terminal, screen by screen; an answer that cannot be read is asked for again."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from permitgen.project.starting.answers import Answer
    from permitgen.project.starting.declarations import Question
    from permitgen.project.starting.new_project import Given

_HOW = """\
Each question says why it is asked and where its answer is read. Enter or unknown: I do not know. "claim 200 A by owner": somebody says so
but nobody has read it. Stop with Ctrl-C: nothing is written."""


def ask_on_terminal(given: Mapping[str, Given], offered: Mapping[str, Given], *, everything: bool) -> dict[str, Given]:
    """Return the answers given, and those to all other questions of this house; ``everything`` asks what few verdicts wait for, too.

    What is ``offered`` by hardware that was picked is not asked.

    Raises:
        AnswersError: an answer was given that cannot be read.
    """
    from permitgen.project.starting.declarations import screens
    from permitgen.project.starting.new_project import Given, is_asked

    found = dict(given)
    answers: dict[str, Answer] = {}
    click.echo(_HOW)
    for screen in screens():
        is_shown = False
        for question in screen.questions:
            if not is_asked(question, answers):
                continue
            if question.key in found:
                answers[question.key] = _read(question, found[question.key])
            elif question.key in offered:
                answers[question.key] = _read(question, offered[question.key])
            elif everything or not question.is_later:
                if not is_shown:
                    click.secho(f"\n{screen.title[:1].upper()}{screen.title[1:]}", bold=True)
                    is_shown = True
                found[question.key] = Given(_asked(question), "terminal")
                answers[question.key] = _read(question, found[question.key])
    return found


def _read(question: Question, given: Given) -> Answer:
    from permitgen.project.starting.answers import read_answer
    from permitgen.project.starting.new_project import AnswersError

    try:
        return read_answer(question, given.value)
    except ValueError as error:
        raise AnswersError([given.message(question.key, str(error))]) from error


def _asked(question: Question) -> str:
    from permitgen.project.starting.answers import read_answer

    click.echo(f"\n{question.asks}?")
    click.echo(f"  why: {question.why}; found: {question.found}")
    for choice, meaning in question.choices.items():
        click.echo(f"  - {choice}: {meaning}")
    while True:
        text: str = click.prompt(f"  {question.key}", default="unknown" if question.can_be_left_open else None)
        try:
            read_answer(question, text)
        except ValueError as error:
            click.echo(f"  {error}", err=True)
        else:
            return text
