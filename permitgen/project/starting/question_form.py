"""Every question as a file of answers to fill in."""

from __future__ import annotations

from permitgen.project.starting.answers import WRITTEN_AS
from permitgen.project.starting.declarations import Question, screens

_HEAD = """\
# Answers for "permitgen new DIR --answers FILE". Take the number sign away before what you answer, and leave out what is not of this house.
# unknown: nobody knows it yet. claim 200 A by owner: somebody says so, and nobody has read it. {200 A: label in the door}: with its source.
# Questions marked "later" may be left out; few verdicts wait for them.
"""


def question_form() -> str:
    """Return the text of the file."""
    lines = [_HEAD]
    for screen in screens():
        lines += ["", f"# {screen.title}", "#"]
        for question in screen.questions:
            lines += _told(question)
    return "\n".join(lines) + "\n"


def _told(question: Question) -> list[str]:
    later = "later: " if question.is_later else ""
    choices = [f"#     {choice}: {meaning}" for choice, meaning in question.choices.items()]
    written = [f"#   write {WRITTEN_AS[question.reads]}"] if question.reads in WRITTEN_AS else []
    return [f"# {later}{question.asks}?", f"#   why: {question.why}; found: {question.found}", *written, *choices, f"# {question.key}: "]
