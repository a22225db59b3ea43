"""Papers that go with the package: attached documents, and the reviewer's comments with their answers."""

from __future__ import annotations

from typing import Annotated

from permitgen.project.fields import Day, Section, Text, choice_schema, described, one_of
from permitgen.project.sections.asked import DemandModel
from permitgen.system.project_facts import ATTACHMENT_KINDS

AttachmentKind = Annotated[str, one_of(*ATTACHMENT_KINDS), choice_schema(*ATTACHMENT_KINDS)]


class AttachmentModel(
    Section, says="A PDF in the project folder that is appended to the plan set (a specification sheet, a letter), or a photo of the site."
):
    title: Text = described(..., "Title of the document as the sheet list prints it.")
    file: Text = described(..., "Path of the PDF, or of a photo (.jpg, .png), inside the project folder.")
    kind: AttachmentKind = described(
        "", "What it is. The plan review index leads to it where a department asks for such a document; without kind it says nothing of it."
    )


class FormModel(
    Section,
    says="A form of a department or a utility that is filled: a PDF with or without fields, or a Word file, and its mapping.",
):
    file: Text = described(..., "Path of the form as it was handed out, inside the project folder.")
    mapping: Text = described(..., "Path of the mapping, inside the project folder; permitgen forms FILE writes one to start from.")
    title: Text = described("", "Title of the form, for lists of what is handed in.")


class SentModel(Section, says="What was sent where and when, as a person says it: for the log of the submission."):
    date: Day = described(..., "Day on which it was sent, as year-month-day.")
    to: Text = described(..., "Where it was sent: the portal, the office, the utility.")
    what: Text = described(..., "What was sent, in words or by the names of the files.")
    by: Text = described("", "Who handed it in, by name, as the log of what was sent prints it.")
    receipt: Text = described("", "Number or words of the receipt.")


class ReviewCommentModel(Section, says="One comment of the plan reviewer. ``sheet`` is where the change stands; ``answer`` what was done."):
    comment: Text = described(..., "The reviewer's comment, word for word.")
    answer: Text = described("", "What was done about the comment, in words for the reply.")
    sheet: Text = described("", "Number of the sheet on which the change stands, for example E-601.")
    by: Text = described("", "Who made the comment, with name and office.")
    date: Day | None = described(None, "Day of the letter or mail with the comment, as year-month-day.")
    keep: DemandModel | None = described(
        None,
        "What the comment asked for, to be looked for in every later project of this department; permitgen memory takes it into the "
        "jurisdiction file.",
    )
