"""Papers that go with the package: attached documents, and the reviewer's comments with their answers."""

from __future__ import annotations

from permitgen.project.fields import Section, Text


class AttachmentModel(Section, says="A PDF in the project folder that is appended to the plan set: a specification sheet, a letter."):
    title: Text
    file: Text


class ReviewCommentModel(Section, says="One comment of the plan reviewer. ``sheet`` is where the change stands; ``answer`` what was done."):
    comment: Text
    answer: Text = ""
    sheet: Text = ""
    by: Text = ""
